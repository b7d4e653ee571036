import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Instrument, Quality, Reading } from "../types.ts";
import type { ClockModel } from "./clock.ts";

/** After this long without a new one, a reading is shown as stale; seconds of the workshop. */
export const STALE_AFTER_S = 3;
/** On a fast day that passes in a blink: then at least this long, seconds of life. */
export const STALE_AFTER_LIFE_S = 0.5;

/** Why a value must not pass for a live one: what its instrument is, else that it is old. */
export type Doubt = "lost" | "silent" | "old";

/** The last value of a channel, in degrees Celsius or grams. */
export interface Latest {
  instrument: string;
  value: number;
  quality: Quality;
  takenAt: number;
  /** Typed in by a person: it stays what it is until the next. */
  typed: boolean;
}

/** The instruments and the last reading of each channel. */
export class InstrumentsModel {
  readonly #byName = signal<ReadonlyMap<string, Instrument>>(new Map());
  readonly #latest = signal<ReadonlyMap<string, Latest>>(new Map());
  readonly all: ReadonlySignal<Instrument[]>;
  readonly #service: Service;
  readonly #clock: ClockModel;

  constructor(feed: Feed, service: Service, clock: ClockModel) {
    this.#service = service;
    this.#clock = clock;
    this.all = computed(() => [...this.#byName.value.values()]);
    feed.on("instrument", (instrument) => this.#take([instrument]));
    feed.on("reading", (reading) => this.#read(reading));
  }

  async load(): Promise<void> {
    this.#take(await this.#service.instruments());
  }

  at(bench: string): Instrument[] {
    return this.all.value.filter((instrument) => instrument.bench === bench);
  }

  latest(channel: string): Latest | null {
    return this.#latest.value.get(channel) ?? null;
  }

  /** Seconds of the workshop's time since the reading was taken. */
  age(latest: Latest): number {
    return Math.max(0, (this.#clock.now.value - latest.takenAt) / 1000);
  }

  /** What speaks against taking the reading for the present value, if anything. */
  doubt(latest: Latest): Doubt | null {
    if (latest.typed) return null;
    const state = this.#byName.value.get(latest.instrument)?.state;
    if (state === "lost" || state === "silent") return state;
    const patience = Math.max(STALE_AFTER_S, STALE_AFTER_LIFE_S * this.#clock.speed.value);
    return this.age(latest) > patience ? "old" : null;
  }

  isStale(latest: Latest): boolean {
    return this.doubt(latest) !== null;
  }

  #take(instruments: Instrument[]): void {
    const names = new Map(this.#byName.value);
    const latest = new Map(this.#latest.value);
    for (const instrument of instruments) {
      names.set(instrument.name, instrument);
      const last = instrument.last;
      if (last === null) continue;
      keepNewer(latest, instrument.name, {
        instrument: instrument.name,
        value: last.value,
        quality: last.quality,
        takenAt: Date.parse(last.taken_at),
        typed: instrument.kind === "manual",
      });
    }
    this.#byName.value = names;
    this.#latest.value = latest;
  }

  #read(reading: Reading): void {
    const latest = new Map(this.#latest.value);
    keepNewer(latest, reading.channel, {
      instrument: reading.instrument,
      value: reading.value,
      quality: reading.quality,
      takenAt: Date.parse(reading.taken_at),
      typed: this.#byName.value.get(reading.instrument)?.kind === "manual",
    });
    this.#latest.value = latest;
  }
}

function keepNewer(latest: Map<string, Latest>, channel: string, candidate: Latest): void {
  const known = latest.get(channel);
  if (known === undefined || known.takenAt <= candidate.takenAt) latest.set(channel, candidate);
}
