import { effect, signal, untracked } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed, FeedEvent, FeedEvents, FeedStatus, Unsubscribe } from "./feed.ts";
import type { Dial, Ear, Line } from "./line.ts";
import { Listeners } from "./listeners.ts";
import type { Presence } from "./presence.ts";

/** A beat comes every second; four missed ones mean a dead connection that nobody closed. */
const SILENCE_MS = 4_000;
/** The browser retries by itself except after an HTTP error; then we do. */
const RETRY_MS = 3_000;
const LOOK_MS = 1_000;
/** A look that comes this late was held up, and so were the messages that wait behind it. */
const LATE_MS = 1_500;

/** What the feed needs of the browser. */
export interface Surroundings {
  dial: Dial;
  presence: ReadonlySignal<Presence>;
  /** Milliseconds since some start, never going back. */
  ticks: () => number;
}

/**
 * The service's event stream: one connection per window, resumed where it ended.
 * It rests while nobody can see the window, unless something else needs it (`mayRest`).
 */
export class EventStreamFeed implements Feed {
  readonly status = signal<FeedStatus>("connecting");
  readonly mayRest = signal(true);
  readonly #listeners = new Listeners();
  readonly #url: string;
  readonly #surroundings: Surroundings;
  readonly #watch: ReturnType<typeof setInterval>;
  readonly #leavePresence: () => void;
  #line: Line | null = null;
  #lastId = "";
  #heardAt = 0;
  #lookedAt: number;
  #wasLate = false;

  constructor(url: string, surroundings: Surroundings) {
    this.#url = url;
    this.#surroundings = surroundings;
    this.#lookedAt = surroundings.ticks();
    this.#watch = setInterval(() => this.#look(), LOOK_MS);
    this.#leavePresence = effect(() => {
      const presence = surroundings.presence.value;
      const rests = presence === "gone" || (presence === "hidden" && this.mayRest.value);
      untracked(() => rests ? this.#rest() : this.#wake());
    });
  }

  on<E extends FeedEvent>(event: E, listener: (data: FeedEvents[E]) => void): Unsubscribe {
    return this.#listeners.add(event, listener);
  }

  close(): void {
    this.#leavePresence();
    clearInterval(this.#watch);
    this.#line?.close();
    this.#line = null;
  }

  #rest(): void {
    this.#line?.close();
    this.#line = null;
    this.status.value = "resting";
  }

  #wake(): void {
    this.#line ??= this.#dial();
  }

  #dial(): Line {
    const ear: Ear = {
      // Not live yet: what happens until the first message may be neither told nor to be fetched.
      opened: () => void (this.#heardAt = this.#surroundings.ticks()),
      broke: () => void (this.status.value = "lost"),
      told: (event, id, data) => {
        this.#heard();
        this.#lastId = id;
        this.#listeners.tell(event, JSON.parse(data));
      },
    };
    this.#heardAt = this.#surroundings.ticks();
    return this.#surroundings.dial(this.#address(), ear);
  }

  /** A new connection has no id to send in its header, so that the address has it. */
  #address(): string {
    if (this.#lastId === "") return this.#url;
    return `${this.#url}?after=${encodeURIComponent(this.#lastId)}`;
  }

  #heard(): void {
    this.#heardAt = this.#surroundings.ticks();
    this.status.value = "live";
  }

  #look(): void {
    const now = this.#surroundings.ticks();
    const late = now - this.#lookedAt > LATE_MS;
    const heldUp = late && !this.#wasLate;
    this.#lookedAt = now;
    this.#wasLate = late;
    if (this.#line === null || heldUp) return;
    const patience = this.#line.gaveUp ? RETRY_MS : SILENCE_MS;
    if (now - this.#heardAt < patience) return;
    this.status.value = "lost";
    this.#line.close();
    this.#line = this.#dial();
  }
}
