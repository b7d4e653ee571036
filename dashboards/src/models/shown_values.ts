import { signal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { ShownValue } from "./steadiness.ts";

/** Seconds that are remembered: several times as long as a display has to stand still. */
const SPAN_S = 120;
/** Bounded also where an instrument speaks a hundred times a second. */
const MOST = 3_000;

/** The last values of one instrument as it showed them, before any calibration. */
export class ShownValuesModel {
  readonly values = signal<readonly ShownValue[]>([]);
  readonly #leave: Unsubscribe;

  constructor(instrument: string, feed: Feed) {
    this.#leave = feed.on("reading", (reading) => {
      if (reading.instrument !== instrument || reading.quality === "bad") return;
      if (reading.shown !== null) this.#take(Date.parse(reading.taken_at) / 1000, reading.shown);
    });
  }

  /** Begins anew: what was shown before belongs to another point. */
  forget(): void {
    this.values.value = [];
  }

  close(): void {
    this.#leave();
  }

  #take(at: number, value: number): void {
    const known = this.values.value;
    const last = known.at(-1);
    // A line that was lost, or a clock that was moved back: nobody saw it stand still.
    if (last !== undefined && (at <= last.at || at - last.at > SPAN_S)) {
      this.values.value = at <= last.at && last.at - at < SPAN_S ? known : [{ at, value }];
      return;
    }
    const fresh = known.filter((each) => at - each.at <= SPAN_S).slice(1 - MOST);
    this.values.value = [...fresh, { at, value }];
  }
}
