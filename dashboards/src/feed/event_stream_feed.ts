import { signal } from "@preact/signals";
import { FEED_EVENTS } from "./feed.ts";
import type { Feed, FeedEvent, FeedEvents, FeedStatus, Unsubscribe } from "./feed.ts";
import { Listeners } from "./listeners.ts";

/** A beat comes every 2 s; three missed ones mean a dead connection that nobody closed. */
const SILENCE_MS = 6_000;
/** The browser retries by itself except after an HTTP error; then we do. */
const RETRY_MS = 3_000;

/** The service's event stream: one connection per window, resumed by the browser. */
export class EventStreamFeed implements Feed {
  readonly status = signal<FeedStatus>("connecting");
  readonly #listeners = new Listeners();
  readonly #url: string;
  readonly #watch: number;
  #source: EventSource;
  #heardAt = performance.now();

  constructor(url: string) {
    this.#url = url;
    this.#source = this.#open();
    this.#watch = window.setInterval(() => this.#checkSilence(), 1_000);
  }

  on<E extends FeedEvent>(event: E, listener: (data: FeedEvents[E]) => void): Unsubscribe {
    return this.#listeners.add(event, listener);
  }

  close(): void {
    window.clearInterval(this.#watch);
    this.#source.close();
  }

  #open(): EventSource {
    const source = new EventSource(this.#url);
    source.onopen = () => this.#heard();
    source.onerror = () => this.status.value = "lost";
    for (const event of FEED_EVENTS) {
      source.addEventListener(event, (message) => this.#take(event, message));
    }
    return source;
  }

  #take(event: FeedEvent, message: MessageEvent<string>): void {
    this.#heard();
    this.#listeners.tell(event, JSON.parse(message.data));
  }

  #heard(): void {
    this.#heardAt = performance.now();
    this.status.value = "live";
  }

  #checkSilence(): void {
    const silentFor = performance.now() - this.#heardAt;
    const gaveUp = this.#source.readyState === EventSource.CLOSED;
    if (silentFor < (gaveUp ? RETRY_MS : SILENCE_MS)) return;
    this.status.value = "lost";
    this.#source.close();
    this.#heardAt = performance.now();
    this.#source = this.#open();
  }
}
