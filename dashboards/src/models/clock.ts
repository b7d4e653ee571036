import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Instant } from "../types.ts";

/** Milliseconds of this machine since some start, never going back. */
export type Ticks = () => number;

/** What is on the screen changes at the clock's ticks, all of it at once: digits are read, not seen. */
const TICK_MS = 333;

/**
 * The workshop's time: that of the last beat, carried on at the workshop's speed.
 * This machine's own clock is not asked, since a tablet's may be wrong and a simulated day's is.
 */
export class ClockModel {
  readonly now = signal(0);
  readonly second: ReadonlySignal<number>;
  readonly speed = signal(1);
  /** The workshop's time of the last beat, epoch milliseconds. */
  readonly heardAt = signal(0);
  readonly #ticks: Ticks;
  #anchorTicks = 0;

  constructor(feed: Feed, ticks: Ticks) {
    this.#ticks = ticks;
    this.second = computed(() => Math.floor(this.now.value / 1000));
    feed.on("beat", (beat) => this.set(beat.now));
  }

  set(now: Instant): void {
    this.heardAt.value = Date.parse(now);
    this.#anchorTicks = this.#ticks();
    this.tick();
  }

  /** Moves `now` on; to be called a few times per second. */
  tick(): void {
    const passed = (this.#ticks() - this.#anchorTicks) * this.speed.value;
    this.now.value = this.heardAt.value + passed;
  }

  /** Ticks by itself; returns how to stop it. */
  start(): () => void {
    const timer = setInterval(() => this.tick(), TICK_MS);
    return () => clearInterval(timer);
  }
}
