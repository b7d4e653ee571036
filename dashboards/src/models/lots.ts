import { signal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { LotEntry } from "../types.ts";
import { ToldMeanwhile } from "./told_meanwhile.ts";

/** The list of lots, newest first; null until it came. */
export class LotsModel {
  readonly entries = signal<LotEntry[] | null>(null);
  readonly #service: Service;
  readonly #meanwhile = new ToldMeanwhile();

  constructor(feed: Feed, service: Service) {
    this.#service = service;
    feed.on("lot", (entry) => {
      this.#meanwhile.note(entry.id);
      this.#take(entry);
    });
  }

  async load(): Promise<void> {
    const told = this.#meanwhile.watch();
    const entries = await this.#service.lots();
    const known = this.entries.value ?? [];
    this.entries.value = entries;
    for (const id of told()) {
      const entry = known.find((one) => one.id === id);
      if (entry !== undefined) this.#take(entry);
    }
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
