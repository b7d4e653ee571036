import { batch, computed, signal } from "@preact/signals";
import type { ReadonlySignal, Signal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Instrument, Quality, Reading } from "../types.ts";
import type { ClockModel } from "./clock.ts";
import { ToldMeanwhile } from "./told_meanwhile.ts";

/**
 * After this long without a new one, a reading is stale; seconds of the workshop. It is shown
 * within three: a tick of the clock and the way of the beat that set it come on top.
 */
export const STALE_AFTER_S = 2.5;
/** On a fast day that passes in a blink: then at least this long, seconds of life. */
export const STALE_AFTER_LIFE_S = 0.5;

/** Further ahead of the clock no reading is told. */
const AHEAD_MS = 5_000;

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
  readonly #latest = new Map<string, Signal<Latest | null>>();
  readonly #bySecond = new Map<string, ReadonlySignal<Latest | null>>();
  /** What came since the last tick of the clock, by channel. */
  readonly #waiting = new Map<string, Latest>();
  readonly all: ReadonlySignal<Instrument[]>;
  readonly #service: Service;
  readonly #meanwhile = new ToldMeanwhile();
  readonly #clock: ClockModel;

  constructor(feed: Feed, service: Service, clock: ClockModel) {
    this.#service = service;
    this.#clock = clock;
    this.all = computed(() => [...this.#byName.value.values()]);
    feed.on("instrument", (instrument) => {
      this.#meanwhile.note(instrument.name);
      this.#take([instrument]);
    });
    feed.on("reading", (reading) => this.#read(reading));
    clock.now.subscribe(() => this.#show());
  }

  async load(): Promise<void> {
    const told = this.#meanwhile.watch();
    const all = await this.#service.instruments();
    const [newer, known] = [new Set(told()), this.#byName.peek()];
    const there = all.map((one) => newer.has(one.name) ? known.get(one.name) ?? one : one);
    batch(() => {
      this.#byName.value = new Map(); // one that is configured no longer is gone
      this.#take(there);
    });
  }

  at(bench: string): Instrument[] {
    return this.all.value.filter((instrument) => instrument.bench === bench);
  }

  /** What a channel shows: its last reading as of the last tick of the clock. */
  latest(channel: string): Latest | null {
    return this.#shown(channel).value;
  }

  /** Its number as this second began, if any: for what is read in passing, and painted less. */
  ofThisSecond(channel: string): Latest | null {
    const known = this.#bySecond.get(channel);
    if (known !== undefined) return known.value;
    const { second } = this.#clock;
    const fresh = computed(() => {
      second.value; // in between it stays, though the channel goes on
      const shown = this.#shown(channel).peek();
      return shown?.quality === "bad" ? null : shown;
    });
    this.#bySecond.set(channel, fresh);
    return fresh.value;
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
    const names = new Map(this.#byName.peek());
    for (const instrument of instruments) names.set(instrument.name, instrument);
    batch(() => {
      this.#byName.value = names;
      for (const { name, kind, last } of instruments) {
        if (last === null) continue;
        this.#showNewer(name, {
          instrument: name,
          value: last.value,
          quality: last.quality,
          takenAt: Date.parse(last.taken_at),
          typed: kind === "manual",
        });
      }
    });
  }

  #read(reading: Reading): void {
    const latest = {
      instrument: reading.instrument,
      value: reading.value,
      quality: reading.quality,
      takenAt: reading.t * 1000,
      typed: this.#byName.peek().get(reading.instrument)?.kind === "manual",
    };
    if (latest.typed || this.#shown(reading.channel).peek() === null) {
      this.#showNewer(reading.channel, latest); // somebody waits for it
    } else {
      this.#waiting.set(reading.channel, latest);
    }
  }

  #show(): void {
    batch(() => this.#waiting.forEach((latest, channel) => this.#showNewer(channel, latest)));
    this.#waiting.clear();
  }

  #showNewer(channel: string, candidate: Latest): void {
    const shown = this.#shown(channel);
    const known = shown.peek();
    const newer = known === null || known.takenAt <= candidate.takenAt;
    if (newer || this.#isAhead(known)) shown.value = candidate;
  }

  /** Of a time that is still to come is only what was read before the clock was set back. */
  #isAhead(latest: Latest): boolean {
    const { now, heardAt } = this.#clock;
    return heardAt.peek() > 0 && latest.takenAt - now.peek() > AHEAD_MS;
  }

  #shown(channel: string): Signal<Latest | null> {
    const known = this.#latest.get(channel);
    if (known !== undefined) return known;
    const fresh = signal<Latest | null>(null);
    this.#latest.set(channel, fresh);
    return fresh;
  }
}
