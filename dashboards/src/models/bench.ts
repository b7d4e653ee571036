import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { LotOrder, Service } from "../feed/service.ts";
import type { BenchState, Mark, Undoable } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { ToldMeanwhile } from "./told_meanwhile.ts";

/** The phases that the scale knows; only a mark tells the others, a recipe's own among them. */
const KNOWN_BY_SCALE: ReadonlySet<string> = new Set(["draw wax", "add fragrance", "pour"]);

/**
 * A press that bounces must neither take back what it has just marked, should the page have moved
 * under the hand, nor the mark before the one that it took back; milliseconds.
 */
const CALM_MS = 700;

/** Whether the mark is what the bench waits for now, so that its button may stand out. */
export function isAwaited({ phase, edge }: Mark, steps: BenchState["steps"]): boolean {
  if (KNOWN_BY_SCALE.has(phase)) return false;
  const early = steps.some((step) => step.phase === phase && step.state === "ahead");
  return edge === "end" || !early;
}

/** One bench: what is going on, and what a person can do about it. */
export class BenchModel {
  readonly name: string;
  readonly state = signal<BenchState | null>(null);
  readonly lot: ReadonlySignal<string | null>;
  /** The mark that can be taken back, whichever screen made it. */
  readonly undoable: ReadonlySignal<Undoable | null>;
  /** The last mark taken back from this screen, to say so until another is made. */
  readonly takenBack = signal<Undoable | null>(null);
  /** Something asked for is on its way: a second press must not mark twice. */
  readonly busy = signal(false);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #leave: Unsubscribe;
  readonly #meanwhile = new ToldMeanwhile();
  readonly #now: () => number;
  #calmFrom = 0;

  /** `now` tells the time in milliseconds from any beginning. */
  constructor(
    name: string, feed: Feed, service: Service, complaints: Complaints,
    now: () => number = () => performance.now(),
  ) {
    this.name = name;
    this.#now = now;
    this.#service = service;
    this.#complaints = complaints;
    this.lot = computed(() => this.state.value?.lot ?? null);
    this.undoable = computed(() => this.state.value?.undo ?? null);
    this.#leave = feed.on("bench", (state) => {
      if (state.bench !== name) return;
      this.#meanwhile.note(name);
      this.#take(state);
    });
  }

  async load(): Promise<void> {
    const told = this.#meanwhile.watch();
    const state = await this.#service.bench(this.name);
    if (told().length === 0) this.#take(state);
  }

  close(): void {
    this.#leave();
  }

  /** Whether the one big button does something now. */
  canMark(): boolean {
    const state = this.state.value;
    return state !== null && state.lot !== null && state.next_mark !== null && !this.busy.value;
  }

  mark(): Promise<void> {
    const { lot, next_mark: mark } = this.state.value ?? { lot: null, next_mark: null };
    if (lot === null || mark === null) return Promise.resolve();
    return this.#once(async () => {
      await this.#service.mark(lot, mark);
      await this.load();
    });
  }

  /** Takes the latest mark back, where that is still possible. */
  undo(): Promise<void> {
    const lot = this.lot.value;
    const mark = this.undoable.value;
    if (lot === null || mark === null || this.#now() < this.#calmFrom) return Promise.resolve();
    return this.#once(async () => {
      await this.#service.undo(lot, mark.at);
      this.takenBack.value = mark;
      await this.load();
    });
  }

  openLot(order: LotOrder): Promise<void> {
    return this.#once(async () => {
      await this.#service.openLot(order);
      await this.load();
    });
  }

  closeLot(): Promise<void> {
    const lot = this.lot.value;
    if (lot === null) return Promise.resolve();
    return this.#once(async () => {
      await this.#service.closeLot(lot);
      await this.load();
    });
  }

  #take(state: BenchState): void {
    if (state.undo?.at !== this.undoable.value?.at) this.#calmFrom = this.#now() + CALM_MS;
    const taken = this.takenBack.value;
    const marked = state.undo?.at ?? null;
    const later = taken !== null && marked !== null && Date.parse(marked) > Date.parse(taken.at);
    if (later || state.lot !== this.lot.value) this.takenBack.value = null;
    this.state.value = state;
  }

  async #once(job: () => Promise<void>): Promise<void> {
    if (this.busy.value) return;
    this.busy.value = true;
    await this.#complaints.act(job).finally(() => this.busy.value = false);
  }
}
