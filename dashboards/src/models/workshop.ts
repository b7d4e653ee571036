import { computed, effect, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Workshop } from "../types.ts";
import type { Senses } from "../senses/senses.ts";
import { AlarmsModel } from "./alarms.ts";
import { AttentionModel } from "./attention.ts";
import { ClockModel } from "./clock.ts";
import type { Ticks } from "./clock.ts";
import { Complaints } from "./complaints.ts";
import { FootSwitch } from "./foot_switch.ts";
import { InstrumentsModel } from "./instruments.ts";
import { LotsModel } from "./lots.ts";
import { PhotographTray } from "./photograph_tray.ts";
import { PreferencesModel } from "./preferences.ts";
import type { Keep } from "./preferences.ts";
import { WallTime } from "./wall_time.ts";

/** What the screens are built on: the two ways to the service, and what belongs to this browser. */
export interface Outside {
  feed: Feed;
  service: Service;
  ticks: Ticks;
  keep: Keep;
  senses: Senses;
}

/** Everything that all screens share. */
export class WorkshopModel {
  readonly outside: Outside;
  readonly info = signal<Workshop | null>(null);
  /** What keeps the service from writing; nothing on the screen is more pressing. */
  readonly trouble = signal<string | null>(null);
  /** What is not yet trouble: the disk fills up, the clock is not set. */
  readonly notice = signal<string | null>(null);
  readonly wall: ReadonlySignal<WallTime>;
  readonly clock: ClockModel;
  readonly complaints = new Complaints();
  readonly preferences: PreferencesModel;
  readonly alarms: AlarmsModel;
  readonly instruments: InstrumentsModel;
  readonly lots: LotsModel;
  readonly attention: AttentionModel;
  readonly footSwitch: FootSwitch;
  readonly photographs = new PhotographTray();
  /** Whether a lot is open at any bench. */
  readonly isPouring: ReadonlySignal<boolean>;
  /** Counts connections: what was fetched before the line broke has to be fetched again. */
  readonly connection = signal(0);

  constructor(outside: Outside) {
    const { feed, service } = outside;
    this.outside = outside;
    feed.on("beat", ({ trouble, notice }) => {
      this.trouble.value = trouble;
      this.notice.value = notice;
    });
    this.clock = new ClockModel(feed, outside.ticks);
    this.preferences = new PreferencesModel(outside.keep);
    this.alarms = new AlarmsModel(feed, service, this.complaints);
    this.instruments = new InstrumentsModel(feed, service, this.clock);
    this.lots = new LotsModel(feed, service);
    this.isPouring = computed(
      () => (this.lots.entries.value ?? []).some(({ state }) => state === "open"),
    );
    this.attention = new AttentionModel(
      outside.senses, this.alarms, (text) => this.preferences.told(text), outside.ticks,
      outside.keep,
    );
    this.footSwitch = new FootSwitch(outside.keep);
    this.wall = computed(() => new WallTime(this.info.value?.timezone ?? "UTC"));
  }

  /** Fetches what all screens need, now and after every break of the connection. */
  start(): () => void {
    const stopClock = this.clock.start();
    const stopCalls = this.attention.start(this.isPouring, this.outside.feed.status);
    const stopRest = effect(() => {
      this.outside.feed.mayRest.value = this.attention.sound.value !== "on";
    });
    const stopWatch = effect(() => {
      if (this.outside.feed.status.value === "live") queueMicrotask(() => void this.load());
    });
    return () => {
      stopWatch();
      stopRest();
      stopCalls();
      stopClock();
    };
  }

  /** The bench that was asked for, else the first; null where there is no such bench. */
  benchNamed(name: string | null): string | null {
    const benches = this.info.value?.benches ?? [];
    if (name !== null) return benches.includes(name) ? name : null;
    return benches[0] ?? null;
  }

  async load(): Promise<void> {
    try {
      await this.complaints.watch(async () => {
        await Promise.all([
          this.#ask(), this.alarms.load(), this.instruments.load(), this.lots.load(),
        ]);
      });
    } finally {
      this.connection.value += 1; // a page has its own to fetch, also where some of this failed
    }
  }

  async #ask(): Promise<void> {
    const info = await this.outside.service.workshop();
    this.clock.speed.value = info.speed;
    this.clock.set(info.now);
    this.preferences.workshop.value = info.display;
    this.trouble.value = info.trouble;
    this.notice.value = info.notice;
    this.info.value = info;
  }
}
