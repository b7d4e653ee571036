import type { FeedEvent, FeedEvents, Unsubscribe } from "./feed.ts";

type Listener<E extends FeedEvent> = (data: FeedEvents[E]) => void;
type ListenerSets = { [E in FeedEvent]: Set<Listener<E>> };

/** Who wants which event. */
export class Listeners {
  readonly #sets: ListenerSets = {
    reading: new Set(),
    phase: new Set(),
    weighing: new Set(),
    alarm: new Set(),
    lot: new Set(),
    bench: new Set(),
    instrument: new Set(),
    beat: new Set(),
  };

  add<E extends FeedEvent>(event: E, listener: Listener<E>): Unsubscribe {
    const set: Set<Listener<E>> = this.#sets[event];
    set.add(listener);
    return () => void set.delete(listener);
  }

  tell<E extends FeedEvent>(event: E, data: FeedEvents[E]): void {
    for (const listener of this.#sets[event]) listener(data);
  }
}
