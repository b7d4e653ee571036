import { signal } from "@preact/signals";
import type { Service } from "../feed/service.ts";
import type { Beside, LotEntry } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { MOST_BESIDE } from "./lot_address.ts";

/** How many lots are offered at once. */
const OFFERED = 6;

/** Other lots that are laid beside one. */
export class BesideModel {
  /** In the order in which they were chosen, at most three. */
  readonly chosen = signal<readonly string[]>([]);
  /** What came of them so far. */
  readonly laid = signal<ReadonlyMap<string, Beside>>(new Map());
  readonly #lot: string;
  readonly #service: Service;
  readonly #complaints: Complaints;

  constructor(lot: string, chosen: readonly string[], service: Service, complaints: Complaints) {
    this.#lot = lot;
    this.#service = service;
    this.#complaints = complaints;
    this.chosen.value = chosen.filter((id) => id !== lot);
  }

  get full(): boolean {
    return this.chosen.value.length >= MOST_BESIDE;
  }

  /** Lays another lot beside this one; nothing happens where three are there. */
  choose(other: string): Promise<void> {
    if (this.full || this.chosen.value.includes(other)) return Promise.resolve();
    this.chosen.value = [...this.chosen.value, other];
    return this.#complaints.act(() => this.#lay(other));
  }

  leave(other: string): void {
    this.chosen.value = this.chosen.value.filter((id) => id !== other);
  }

  /** Fetches all that are chosen, now and whenever this lot has gone on. */
  load(): Promise<void> {
    return this.#complaints.watch(async () => {
      await Promise.all(this.chosen.value.map((other) => this.#lay(other)));
    });
  }

  /** The lots to be drawn, in the order in which they were chosen. */
  get shown(): Beside[] {
    const laid = this.laid.value;
    return this.chosen.value.flatMap((id) => laid.get(id) ?? []);
  }

  /** Lays one, or lets go of one that cannot be laid and says why. */
  async #lay(other: string): Promise<void> {
    try {
      const beside = await this.#service.beside(this.#lot, other);
      this.laid.value = new Map(this.laid.value).set(other, beside);
    } catch (error) {
      this.leave(other);
      throw error;
    }
  }
}

/** The lots to choose from: of the same recipe, or of any where somebody searches; newest first. */
export function offered(
  entries: readonly LotEntry[], of: { id: string; recipe: string }, chosen: readonly string[],
  search: string,
): LotEntry[] {
  const wanted = search.trim().toLowerCase();
  const fits = (entry: LotEntry): boolean =>
    wanted === ""
      ? entry.recipe === of.recipe
      : `${entry.id} ${entry.recipe} ${entry.bench}`.toLowerCase().includes(wanted);
  const others = entries.filter((entry) => entry.id !== of.id && !chosen.includes(entry.id));
  return others.filter(fits).slice(0, OFFERED);
}
