import { effect, signal, untracked } from "@preact/signals";
import { Refusal } from "../feed/refusal.ts";
import type { InstrumentInFull } from "../types.ts";
import { BenchCurvesModel } from "./bench_curves.ts";
import type { WorkshopModel } from "./workshop.ts";

const NOT_FOUND = 404;
/** How often counts and rates are asked for, milliseconds of life. */
export const REFRESH_MS = 5_000;

/** What the page of one instrument looks at, kept up to date while the page is open. */
export class InstrumentScreenModel {
  readonly workshop: WorkshopModel;
  readonly name: string;
  readonly full = signal<InstrumentInFull | null>(null);
  readonly missing = signal(false);
  readonly curves = signal<BenchCurvesModel | null>(null);
  #stopped = false;

  constructor(workshop: WorkshopModel, name: string) {
    this.workshop = workshop;
    this.name = name;
  }

  /** Fetches now, after each new connection and now and then; returns how to stop. */
  start(): () => void {
    this.#stopped = false;
    const stopConnection = effect(() => {
      if (this.workshop.connection.value > 0) void untracked(() => this.load());
    });
    const again = (): Promise<void> => this.curves.value === null ? this.load() : this.refresh();
    const timer = setInterval(() => void again(), REFRESH_MS);
    return () => {
      this.#stopped = true;
      clearInterval(timer);
      stopConnection();
      this.curves.value?.close();
    };
  }

  /** Fetches the instrument and its curve. */
  load(): Promise<void> {
    return this.workshop.complaints.watch(async () => {
      await this.refresh();
      const full = this.full.value;
      if (full === null || this.#stopped) return;
      const { feed, service } = this.workshop.outside;
      this.curves.value?.close();
      this.curves.value = new BenchCurvesModel(full.bench, feed, service);
      await this.curves.value.load([full]);
    });
  }

  /** Fetches the instrument alone; one that is not there is no trouble of the service. */
  refresh(): Promise<void> {
    return this.workshop.complaints.watch(async () => {
      try {
        this.full.value = await this.workshop.outside.service.instrument(this.name);
        this.missing.value = false;
      } catch (error) {
        if (!(error instanceof Refusal) || error.status !== NOT_FOUND) throw error;
        this.missing.value = true;
      }
    });
  }

  /** Lets readings be kept as they are shown again. */
  withdraw(note: string): Promise<void> {
    return this.workshop.complaints.act(async () => {
      await this.workshop.outside.service.withdrawCalibration(this.name, note);
      await this.refresh();
    });
  }
}
