import { signal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { CurveData, GoodLots, Lot, PitcherMeasured } from "../types.ts";
import { Refusal } from "../feed/refusal.ts";
import type { Complaints } from "./complaints.ts";

/** HTTP: not found, and a name that no lot can have. */
const NO_SUCH_LOT: ReadonlySet<number> = new Set([404, 422]);
const NOT_FOUND: ReadonlySet<number> = new Set([404]);
/** Changes come in bunches (a phase ends, the next begins): one question answers them all. */
const GATHER_MS = 300;

/** One lot, asked for again when something about it happened. */
export class LotModel {
  readonly id: string;
  readonly lot = signal<Lot | null>(null);
  /** The service knows no lot by this name. */
  readonly missing = signal(false);
  readonly curves = signal<CurveData[]>([]);
  /** Where good lots of this recipe were; null where there are too few of them. */
  readonly goodLots = signal<GoodLots | null>(null);
  /** What was measured of each pitcher; null until it came. */
  readonly measured = signal<PitcherMeasured[] | null>(null);
  readonly #service: Service;
  readonly #complaints: Complaints;
  #said: Promise<void> = Promise.resolve();
  readonly #leave: Unsubscribe[];
  #asked = 0;
  /** Which of them is shown. */
  #shown = 0;
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
      const turn = this.#asked += 1;
      const lot = await this.#service.lot(this.id).catch(nullWhere(NO_SUCH_LOT));
      if (turn < this.#shown) return; // one that was asked for later has come already
      this.#shown = turn;
      if (lot === null) this.missing.value = true;
      this.lot.value = lot;
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

  /** Fetches the band of good lots; that there is none is no complaint. */
  loadGoodLots(): Promise<void> {
    return this.#complaints.watch(async () => {
      this.goodLots.value = await this.#service.goodLots(this.id).catch(nullWhere(NOT_FOUND));
    });
  }

  /** Fetches what was measured of the pitchers. */
  loadMeasured(): Promise<void> {
    return this.#complaints.watch(async () => {
      this.measured.value = await this.#service.measured(this.id).catch(nullWhere(NOT_FOUND));
    });
  }

  /** Keeps the readings for good, or lets them go as those of other lots do. */
  keep(keep: boolean, note: string): Promise<void> {
    return this.#complaints.act(async () => {
      await this.#service.keepReadings(this.id, keep, note);
      this.lot.value = await this.#service.lot(this.id);
    });
  }

  /** Says whether the closed lot was a good one; the last word counts. */
  judge(good: boolean, note: string): Promise<void> {
    const say = (): Promise<void> => this.#complaints.act(async () => {
      await this.#service.judge(this.id, good, note);
      this.lot.value = await this.#service.lot(this.id);
    });
    this.#said = this.#said.then(say, say); // one after another: the last word is to count
    return this.#said;
  }

  close(): void {
    for (const leave of this.#leave) leave();
    if (this.#pending !== null) clearTimeout(this.#pending);
  }

  #gather(): void {
    this.#pending ??= setTimeout(() => {
      this.#pending = null;
      void this.load();
      if (this.measured.value !== null) void this.loadMeasured();
    }, GATHER_MS);
  }
}

/** Turns refusals with these statuses into null; anything else goes on up. */
function nullWhere(statuses: ReadonlySet<number>): (error: unknown) => null {
  return (error) => {
    if (!(error instanceof Refusal) || !statuses.has(error.status)) throw error;
    return null;
  };
}
