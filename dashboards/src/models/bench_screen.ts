import { effect, signal, untracked } from "@preact/signals";
import { BenchModel } from "./bench.ts";
import { BenchCurvesModel } from "./bench_curves.ts";
import { HandReadings } from "./hand_readings.ts";
import { LotModel } from "./lot.ts";
import { whenTimeIsUp } from "./time_is_up.ts";
import type { WorkshopModel } from "./workshop.ts";
import { bench as words } from "../words.ts";

/** What the page of one bench looks at, kept up to date while the page is open. */
export class BenchScreenModel {
  readonly workshop: WorkshopModel;
  readonly bench: BenchModel;
  readonly curves: BenchCurvesModel;
  readonly hand: HandReadings;
  /** The open lot in full, for what the chart marks. */
  readonly lot = signal<LotModel | null>(null);

  constructor(workshop: WorkshopModel, name: string) {
    const { feed, service } = workshop.outside;
    this.workshop = workshop;
    this.bench = new BenchModel(name, feed, service, workshop.complaints);
    this.hand = new HandReadings(workshop, name, this.bench.state);
    this.curves = new BenchCurvesModel(name, workshop.clock.speed.peek(), feed, service);
  }

  /** Fetches now and after each new connection; returns how to stop. */
  start(): () => void {
    const stopConnection = effect(() => {
      if (this.workshop.connection.value > 0) void untracked(() => this.#load());
    });
    const stopLot = effect(() => {
      const id = this.bench.lot.value;
      untracked(() => this.#follow(id));
    });
    const { attention, clock } = this.workshop;
    const stopCountdown = whenTimeIsUp(this.bench.state, clock.second, (phase) =>
      attention.say(words.timeIsUp(phase)));
    return () => {
      stopCountdown();
      stopConnection();
      stopLot();
      this.bench.close();
      this.curves.close();
      this.lot.value?.close();
    };
  }

  #load(): Promise<void> {
    const here = this.workshop.instruments.at(this.bench.name);
    const shown = here.filter(({ role }) => role === "pitcher" || role === "pot");
    return this.workshop.complaints.watch(async () => {
      await Promise.all([this.bench.load(), this.curves.load(shown), this.lot.value?.load()]);
    });
  }

  #follow(id: string | null): void {
    if (this.lot.value?.id === id) return;
    this.lot.value?.close();
    const { feed, service } = this.workshop.outside;
    const lot = id === null ? null : new LotModel(id, feed, service, this.workshop.complaints);
    this.lot.value = lot;
    void lot?.load();
  }
}
