import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Alarm, AlarmState, Priority } from "../types.ts";
import type { Complaints } from "./complaints.ts";

const URGENCY: Record<Priority, number> = { high: 0, medium: 1, low: 2 };
const ATTENTION: Record<AlarmState, number> = {
  active: 0, cleared: 1, acknowledged: 2, shelved: 3, ended: 4,
};

/** Alarms that still want attention, the most pressing first. */
export class AlarmsModel {
  readonly #byId = signal<ReadonlyMap<string, Alarm>>(new Map());
  readonly current: ReadonlySignal<Alarm[]>;
  /** Raised while this screen was looking: to be read out once. */
  readonly announced = signal<Alarm | null>(null);
  readonly #service: Service;
  readonly #complaints: Complaints;

  constructor(feed: Feed, service: Service, complaints: Complaints) {
    this.#service = service;
    this.#complaints = complaints;
    this.current = computed(() => [...this.#byId.value.values()].sort(byPressure));
    feed.on("alarm", (alarm) => this.#take(alarm));
  }

  async load(): Promise<void> {
    const alarms = await this.#service.alarms();
    this.#byId.value = new Map(alarms.map((alarm) => [alarm.id, alarm]));
  }

  acknowledge(alarm: Alarm, note = ""): Promise<void> {
    return this.#complaints.act(async () => {
      this.#take(await this.#service.acknowledge(alarm.id, note));
    });
  }

  shelve(alarm: Alarm, minutes: number): Promise<void> {
    return this.#complaints.act(async () => {
      this.#take(await this.#service.shelve(alarm.id, minutes));
    });
  }

  #take(alarm: Alarm): void {
    const next = new Map(this.#byId.value);
    if (!next.has(alarm.id) && alarm.state === "active") this.announced.value = alarm;
    if (alarm.state === "ended") next.delete(alarm.id);
    else next.set(alarm.id, alarm);
    this.#byId.value = next;
  }
}

/** Whether a person has yet to say that she has seen it. */
export function wantsAcknowledging(alarm: Alarm): boolean {
  return alarm.state === "active" || alarm.state === "cleared";
}

/** Alarms by what they ask of a person; each list keeps its order. */
export interface SortedAlarms {
  first: Alarm | null;
  /** Active as well. */
  others: Alarm[];
  /** Gone by themselves, and nobody said yet that she saw them. */
  over: Alarm[];
  /** Seen, or put aside. */
  quiet: Alarm[];
}

/** Sorts alarms for the banner and for the list that its link leads to, so that both agree. */
export function sortAlarms(alarms: readonly Alarm[]): SortedAlarms {
  const [first = null, ...others] = alarms.filter(({ state }) => state === "active");
  return {
    first,
    others,
    over: alarms.filter(({ state }) => state === "cleared"),
    quiet: alarms.filter((alarm) => !wantsAcknowledging(alarm)),
  };
}

function byPressure(a: Alarm, b: Alarm): number {
  return ATTENTION[a.state] - ATTENTION[b.state]
    || URGENCY[a.priority] - URGENCY[b.priority]
    || b.raised_at.localeCompare(a.raised_at);
}
