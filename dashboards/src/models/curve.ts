import { signal } from "@preact/signals";
import type { CurveData } from "../types.ts";
import { SampleBuffer, placeOf } from "./samples.ts";
import type { Samples } from "./samples.ts";

/** A longer time without a reading is a gap, as in the service's own curves; microseconds. */
const GAP_US = 15_000_000;
/** More than any instrument gives in an hour. */
const MOST_POINTS = 100_000;
/** So many points are fetched once more, to see that what comes continues what is here. */
const OVERLAP = 50;

/** Where a piece of the curve is to begin, null for all of it; and how often it had broken off. */
export interface Seam {
  from: number | null;
  breaks: number;
}

/** All of it. */
const nothingHeld = (breaks: number): Seam => ({ from: null, breaks });

/**
 * The recent readings of one channel, each of them: a window on what the service keeps.
 * Times are epoch seconds, ascending and unique. Bounded, so that a screen can stay open for weeks.
 */
export class Curve {
  readonly channel: string;
  /** Counts the pieces that came; live readings do not count, there are too many. */
  readonly pieces = signal(0);
  readonly #spanS: number;
  #samples = new SampleBuffer();
  /** Up to here nothing is missing: minus infinity before the first piece came. */
  #soundTo = -Infinity;
  #breaks = 0;

  constructor(channel: string, spanS: number) {
    this.channel = channel;
    this.#spanS = spanS;
  }

  get samples(): Samples {
    return this.#samples;
  }

  /** Whether everything is there. */
  get isSound(): boolean {
    return this.#soundTo === Infinity;
  }

  /** Adds a live reading; one that is not newer than the last is left out. */
  push(t: number, value: number): void {
    add(this.#samples, t, value);
    this.#forget();
  }

  /** From here on readings may be missing, until a piece mends it. */
  breakOff(): void {
    this.#breaks += 1;
    this.#soundTo = Math.min(this.#soundTo, this.#samples.lastT);
  }

  /** What to fetch, so that nothing is missing any more. */
  seam(): Seam {
    const { t, value } = this.#samples;
    const sound = placeOf(t, this.#soundTo);
    if (this.#soundTo === -Infinity || sound === 0) return nothingHeld(this.#breaks);
    let place = Math.max(0, sound - OVERLAP);
    while (place > 0 && Number.isNaN(value[place])) place -= 1; // a reading, so that it comes again
    return { from: t[place] ?? null, breaks: this.#breaks };
  }

  /** Forgets all, where a piece did not continue it, and begins with what comes live from here. */
  restart(): Seam {
    this.#samples = new SampleBuffer();
    this.#soundTo = -Infinity;
    return nothingHeld(this.#breaks);
  }

  /**
   * Puts a piece in its place, and what came live meanwhile behind it.
   * Changes nothing and returns false where it does not continue what is held: the store is
   * another one, or its times were moved.
   */
  mend(seam: Seam, piece: CurveData): boolean {
    if (!this.#continues(seam, piece)) return false;
    const held = this.#samples;
    const end = piece.t.at(-1) ?? -Infinity;
    this.#samples = new SampleBuffer();
    const before = seam.from === null ? 0 : placeOf(held.t, seam.from);
    copy(held, 0, before, this.#samples);
    piece.t.forEach((t, index) => this.#samples.add(t, piece.value[index] ?? NaN));
    for (let place = placeOf(held.t, end); place < held.length; place += 1) {
      const [t, value] = [held.t[place] ?? NaN, held.value[place] ?? NaN];
      if (!Number.isNaN(value)) add(this.#samples, t, value); // gaps are found anew
    }
    this.#soundTo = this.#breaks === seam.breaks ? Infinity : end;
    this.#forget();
    this.pieces.value += 1;
    return true;
  }

  #continues({ from }: Seam, piece: CurveData): boolean {
    if (from === null) return true;
    const { t, value } = this.#samples;
    const first = placeOf(t, from);
    const count = placeOf(t, this.#soundTo) + (this.#soundTo === Infinity ? 0 : 1) - first;
    for (let index = 0; index < count; index += 1) {
      const same = piece.t[index] === t[first + index]
        && Object.is(piece.value[index] ?? NaN, value[first + index]);
      if (!same) return false;
    }
    return true;
  }

  #forget(): void {
    this.#samples.forget(this.#samples.lastT - this.#spanS, MOST_POINTS);
  }
}

function copy(from: SampleBuffer, first: number, end: number, to: SampleBuffer): void {
  const { t, value } = from;
  for (let place = first; place < end; place += 1) to.add(t[place] ?? NaN, value[place] ?? NaN);
}

/** Adds a reading that is newer than the last, and before it the gap that it ends. */
function add(samples: SampleBuffer, t: number, value: number): void {
  const last = samples.lastT;
  if (t <= last) return;
  const [lastUs, tUs] = [Math.round(last * 1e6), Math.round(t * 1e6)];
  if (tUs - lastUs > GAP_US && samples.length > 0) samples.add((lastUs + 1) / 1e6, NaN);
  samples.add(t, value);
}
