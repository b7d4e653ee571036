import { signal } from "@preact/signals";
import type { CurveData } from "../types.ts";

export type Value = number | null;

/**
 * The recent values of one channel, in ascending and unique seconds.
 * Bounded in time and in points, so that a screen can stay open for weeks.
 */
export class Curve {
  readonly channel: string;
  readonly changed = signal(0);
  readonly #spanS: number;
  readonly #stepS: number;
  readonly #gapS: number;
  #t: number[] = [];
  #value: Value[] = [];

  /** Keeps `spanS` seconds with a point every `stepS` at most; `gapS` without one is a gap. */
  constructor(channel: string, spanS: number, stepS: number, gapS: number) {
    this.channel = channel;
    this.#spanS = spanS;
    this.#stepS = stepS;
    this.#gapS = gapS;
  }

  get t(): readonly number[] {
    return this.#t;
  }

  get value(): readonly Value[] {
    return this.#value;
  }

  /** Takes the history, and keeps what came live after it. */
  load(history: CurveData): void {
    const end = history.t.at(-1) ?? -Infinity;
    const later = this.#t.findIndex((t) => t > end);
    const tail = later < 0 ? this.#t.length : later;
    this.#t = [...history.t, ...this.#t.slice(tail)];
    this.#value = [...history.value, ...this.#value.slice(tail)];
    this.#forget();
    this.changed.value += 1;
  }

  /** Adds a live value; one that is older than the last, or too close to it, is left out. */
  push(t: number, value: number): void {
    const last = this.#t.at(-1);
    if (last !== undefined) {
      if (t - last < this.#stepS) return;
      if (t - last > this.#gapS) this.#append(last + this.#stepS / 2, null);
    }
    this.#append(t, value);
    this.#forget();
    this.changed.value += 1;
  }

  #append(t: number, value: Value): void {
    this.#t.push(t);
    this.#value.push(value);
  }

  /** Drops what is out of the span, in slices, so that it costs little per reading. */
  #forget(): void {
    const from = (this.#t.at(-1) ?? 0) - this.#spanS;
    const first = this.#t.findIndex((t) => t >= from);
    const worthwhile = Math.max(1, this.#t.length / 16);
    if (first < worthwhile) return;
    this.#t = this.#t.slice(first);
    this.#value = this.#value.slice(first);
  }
}
