import { FEED_EVENTS } from "./feed.ts";
import type { FeedEvent } from "./feed.ts";

/** Who listens on a line; `id` is where the stream is after a message. */
export interface Ear {
  opened(): void;
  broke(): void;
  told(event: FeedEvent, id: string, data: string): void;
}

/** One connection to the event stream. */
export interface Line {
  /** Whether it does not try again by itself. */
  readonly gaveUp: boolean;
  close(): void;
}

export type Dial = (address: string, ear: Ear) => Line;

/** A line of the browser's own, which tries again by itself except after an HTTP error. */
export const dialEventSource: Dial = (address, ear) => {
  const source = new EventSource(address);
  source.onopen = () => ear.opened();
  source.onerror = () => ear.broke();
  for (const event of FEED_EVENTS) {
    source.addEventListener(event, (message: MessageEvent<string>) => {
      ear.told(event, message.lastEventId, message.data);
    });
  }
  return {
    get gaveUp() {
      return source.readyState === EventSource.CLOSED;
    },
    close: () => source.close(),
  };
};
