import { signal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { CurveData, Lot } from "../types.ts";
import { Refusal } from "../feed/refusal.ts";
import type { Complaints } from "./complaints.ts";

/** HTTP: not found, and a name that no lot can have. */
const NO_SUCH_LOT: ReadonlySet<number> = new Set([404, 422]);
/** Changes come in bunches (a phase ends, the next begins): one question answers them all. */
const GATHER_MS = 300;

/** One lot, asked for again when something about it happened. */
export class LotModel {
  readonly id: string;
  readonly lot = signal<Lot | null>(null);
  /** The service knows no lot by this name. */
  readonly missing = signal(false);
  readonly curves = signal<CurveData[]>([]);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #leave: Unsubscribe[];
  #pending: ReturnType<typeof setTimeout> | null = null;

  constructor(id: string, feed: Feed, service: Service, complaints: Complaints) {
    this.id = id;
    this.#service = service;
    this.#complaints = complaints;
    const changed = (lot: string | null): void => {
      if (lot === id) this.#gather();
    };
    this.#leave = [
      feed.on("phase", (change) => changed(change.lot)),
      feed.on("weighing", (change) => changed(change.lot)),
      feed.on("alarm", (alarm) => changed(alarm.lot)),
      feed.on("lot", (entry) => changed(entry.id)),
    ];
  }

  load(): Promise<void> {
    return this.#complaints.watch(async () => {
      this.lot.value = await this.#service.lot(this.id).catch((error: unknown) => {
        if (!(error instanceof Refusal) || !NO_SUCH_LOT.has(error.status)) throw error;
        this.missing.value = true;
        return null;
      });
    });
  }

  /** Fetches the curve of every channel of the lot; `load` comes first. */
  async loadCurves(): Promise<void> {
    const channels = this.lot.value?.channels ?? [];
    await this.#complaints.watch(async () => {
      this.curves.value = await Promise.all(
        channels.map(({ channel }) => this.#service.lotCurve(this.id, channel)),
      );
    });
  }

  close(): void {
    for (const leave of this.#leave) leave();
    if (this.#pending !== null) clearTimeout(this.#pending);
  }

  #gather(): void {
    this.#pending ??= setTimeout(() => {
      this.#pending = null;
      void this.load();
    }, GATHER_MS);
  }
}
