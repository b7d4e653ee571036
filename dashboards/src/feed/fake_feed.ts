import { signal } from "@preact/signals";
import type { Feed, FeedEvent, FeedEvents, FeedStatus, Unsubscribe } from "./feed.ts";
import { Listeners } from "./listeners.ts";

/** A feed driven by hand: tests say what arrives and when the line is lost. */
export class FakeFeed implements Feed {
  readonly status = signal<FeedStatus>("live");
  readonly mayRest = signal(true);
  readonly #listeners = new Listeners();

  on<E extends FeedEvent>(event: E, listener: (data: FeedEvents[E]) => void): Unsubscribe {
    return this.#listeners.add(event, listener);
  }

  send<E extends FeedEvent>(event: E, data: FeedEvents[E]): void {
    this.#listeners.tell(event, data);
  }

  close(): void {
    this.status.value = "lost";
  }
}
