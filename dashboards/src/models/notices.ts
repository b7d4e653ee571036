import { signal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { NoticeTarget, Notices } from "../types.ts";
import type { Complaints } from "./complaints.ts";

/** How a target does, as one of the words that are said of it. */
export type TargetState = "working" | "untried" | "failing";

export function stateOf(target: NoticeTarget): TargetState {
  if (!target.working) return "failing";
  return target.last_sent_at === null ? "untried" : "working";
}

/** Who is told beyond the room; asked for again with every beat of the service. */
export class NoticesModel {
  /** Null until it came. */
  readonly shown = signal<Notices | null>(null);
  /** Whether a test that was asked for here has not come back yet. */
  readonly testing = signal(false);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #leave: Unsubscribe;
  #asking = false;

  constructor(feed: Feed, service: Service, complaints: Complaints) {
    this.#service = service;
    this.#complaints = complaints;
    this.#leave = feed.on("beat", () => void this.load());
  }

  /** Asks how it stands; one question at a time. */
  async load(): Promise<void> {
    if (this.#asking) return;
    this.#asking = true;
    await this.#complaints.watch(async () => {
      this.shown.value = await this.#service.notices();
    }).finally(() => this.#asking = false);
  }

  /** Lets a test be sent to every target; pressed again meanwhile, it does nothing. */
  async test(): Promise<void> {
    if (this.testing.value) return;
    this.testing.value = true;
    await this.#complaints.act(async () => {
      this.shown.value = await this.#service.testNotices();
    }).finally(() => this.testing.value = false);
  }

  close(): void {
    this.#leave();
  }
}
