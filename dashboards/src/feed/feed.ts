import type { ReadonlySignal, Signal } from "@preact/signals";
import type { Alarm, BenchState, Instant, Instrument, LotEntry, Reading } from "../types.ts";

/** A phase or weighing as the feed tells it: enough to know which lot changed. */
export interface LotChange {
  lot: string;
  bench: string;
}

/** What arrives, by the name of its event. */
export interface FeedEvents {
  reading: Reading;
  phase: LotChange;
  weighing: LotChange;
  alarm: Alarm;
  lot: LotEntry;
  bench: BenchState;
  instrument: Instrument;
  beat: { now: Instant; trouble: string | null; notice: string | null };
}

export type FeedEvent = keyof FeedEvents;

export const FEED_EVENTS: readonly FeedEvent[] = [
  "reading", "phase", "weighing", "alarm", "lot", "bench", "instrument", "beat",
];

/**
 * `lost` shows the person how old everything on the screen is; `resting` is no failure: nobody can
 * see the screen.
 */
export type FeedStatus = "connecting" | "live" | "lost" | "resting";

export type Unsubscribe = () => void;

/** The live side of the service. Models are built from one, so that a test plugs in its own. */
export interface Feed {
  readonly status: ReadonlySignal<FeedStatus>;
  /** Whether it may rest while nobody can see the screen; somebody may still want to hear it. */
  readonly mayRest: Signal<boolean>;
  on<E extends FeedEvent>(event: E, listener: (data: FeedEvents[E]) => void): Unsubscribe;
  close(): void;
}
