import { signal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { LotEntry } from "../types.ts";

/** The list of lots, newest first; null until it came. */
export class LotsModel {
  readonly entries = signal<LotEntry[] | null>(null);
  readonly #service: Service;

  constructor(feed: Feed, service: Service) {
    this.#service = service;
    feed.on("lot", (entry) => this.#take(entry));
  }

  async load(): Promise<void> {
    this.entries.value = await this.#service.lots();
  }

  #take(entry: LotEntry): void {
    const known = this.entries.value ?? [];
    const others = known.filter((other) => other.id !== entry.id);
    this.entries.value = [entry, ...others].sort(newestFirst);
  }
}

function newestFirst(a: LotEntry, b: LotEntry): number {
  return b.opened_at.localeCompare(a.opened_at);
}
