import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Alarm, AlarmState, Priority } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { ToldMeanwhile } from "./told_meanwhile.ts";

const URGENCY: Record<Priority, number> = { high: 0, medium: 1, low: 2 };
/** A state that a newer service adds comes last. */
const ATTENTION: readonly AlarmState[] = [
  "active", "latched", "cleared", "acknowledged", "suppressed", "shelved", "out of service",
  "ended",
];

/** What a person can do with an alarm. */
export type Answer = "acknowledge" | "shelve" | "unshelve" | "reset";

/** The answers that need more than a press, and open a form. */
export type Asked = Extract<Answer, "acknowledge" | "shelve">;

/** A form that is open: about which alarm, and where that stood when it was opened. */
export interface Writing {
  alarm: string;
  form: Asked;
  place: Place;
}

/** States without an entry leave nothing to answer. */
const ANSWERS: Partial<Record<AlarmState, readonly Answer[]>> = {
  active: ["acknowledge", "shelve"],
  acknowledged: ["shelve"],
  cleared: ["acknowledge", "shelve"],
  latched: ["acknowledge", "reset"],
  shelved: ["unshelve"],
};

/** What a person can do with an alarm now; one that was seen is not acknowledged again. */
export function answersTo(alarm: Alarm): Answer[] {
  const seen = alarm.acknowledged_at !== null;
  const offered = ANSWERS[alarm.state] ?? [];
  return offered.filter((answer) => answer !== "acknowledge" || !seen);
}

/** Alarms that still want attention, the most pressing first. */
export class AlarmsModel {
  readonly #byId = signal<ReadonlyMap<string, Alarm>>(new Map());
  readonly current: ReadonlySignal<Alarm[]>;
  /** Raised while this screen was looking: to be read out once. */
  readonly announced = signal<Alarm | null>(null);
  /** Counts what the feed told: a history that was fetched is older than the latest of it. */
  readonly changes = signal(0);
  /** What was last done here, to be confirmed. */
  readonly answered = signal<{ answer: Answer; alarm: Alarm } | null>(null);
  /** Its alarm stays, whatever becomes of it: what was typed is not to be lost. */
  readonly writing = signal<Writing | null>(null);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #meanwhile = new ToldMeanwhile();
  #loaded = false;

  constructor(feed: Feed, service: Service, complaints: Complaints) {
    this.#service = service;
    this.#complaints = complaints;
    this.current = computed(() => [...this.#byId.value.values()].sort(byPressure));
    feed.on("alarm", (alarm) => this.#take(alarm));
  }

  /** Fetches all; what was told meanwhile is newer. Announces what was raised since the last. */
  async load(): Promise<void> {
    const told = this.#meanwhile.watch();
    const alarms = await this.#service.alarms();
    const known = this.#byId.value;
    const next = new Map(alarms.map((alarm) => [alarm.id, alarm]));
    for (const id of told()) replace(next, id, known.get(id));
    const written = known.get(this.writing.value?.alarm ?? "");
    if (written !== undefined && !next.has(written.id)) {
      next.set(written.id, { ...written, state: "ended" });
    }
    const raised = this.#loaded ? raisedIn(next, known) : [];
    this.#loaded = true;
    this.#byId.value = next;
    for (const alarm of raised) this.announced.value = alarm;
  }

  /** Opens a form; another one that was open is closed. */
  write(writing: Writing): void {
    this.leave();
    this.writing.value = writing;
  }

  /** Closes the form; an alarm that has ended in the meantime goes with it. */
  leave(): void {
    const written = this.writing.value;
    this.writing.value = null;
    if (written === null || this.#byId.value.get(written.alarm)?.state !== "ended") return;
    const next = new Map(this.#byId.value);
    next.delete(written.alarm);
    this.#byId.value = next;
  }

  acknowledge(alarm: Alarm, note = ""): Promise<void> {
    return this.#answer("acknowledge", () => this.#service.acknowledge(alarm.id, note));
  }

  /** Puts an alarm aside for some minutes; the service wants a reason. */
  shelve(alarm: Alarm, minutes: number, reason: string): Promise<void> {
    return this.#answer("shelve", () => this.#service.shelve(alarm.id, minutes, reason));
  }

  unshelve(alarm: Alarm): Promise<void> {
    return this.#answer("unshelve", () => this.#service.unshelve(alarm.id));
  }

  /** Lets a latched alarm go. */
  reset(alarm: Alarm): Promise<void> {
    return this.#answer("reset", () => this.#service.reset(alarm.id));
  }

  /** What keeps a suppressed alarm from being judged: the instrument of the alarm that does. */
  suppressor({ suppressed_by: by = null }: Alarm): string | null {
    return by === null ? null : this.#byId.value.get(by)?.subject ?? by;
  }

  #answer(answer: Answer, ask: () => Promise<Alarm>): Promise<void> {
    return this.#complaints.act(async () => {
      const told = this.#meanwhile.watch();
      const alarm = await ask();
      if (!told().includes(alarm.id)) this.#take(alarm);
      const { alarm: id, form } = this.writing.value ?? {};
      if (id === alarm.id && form === answer) this.leave();
      this.answered.value = { answer, alarm };
    });
  }

  #take(alarm: Alarm): void {
    this.changes.value += 1;
    const next = new Map(this.#byId.value);
    this.#meanwhile.note(alarm.id);
    if (!next.has(alarm.id) && alarm.state === "active") this.announced.value = alarm;
    const kept = this.writing.value?.alarm === alarm.id;
    if (alarm.state === "ended" && !kept) next.delete(alarm.id);
    else next.set(alarm.id, alarm);
    this.#byId.value = next;
  }
}

/** Those of which nothing was known, the most pressing last. */
function raisedIn(alarms: ReadonlyMap<string, Alarm>, known: ReadonlyMap<string, Alarm>): Alarm[] {
  const news = [...alarms.values()].filter(({ id, state }) => state === "active" && !known.has(id));
  return news.sort(byPressure).reverse();
}

function replace(alarms: Map<string, Alarm>, id: string, by: Alarm | undefined): void {
  if (by === undefined) alarms.delete(id);
  else alarms.set(id, by);
}

/** Whether a person has yet to say that she has seen it. */
export function wantsAcknowledging(alarm: Alarm): boolean {
  return answersTo(alarm).includes("acknowledge");
}

/** Alarms by what they ask of a person; each list keeps its order. */
export interface SortedAlarms {
  /** The most pressing active one; after it one that is being written about. */
  banner: Alarm[];
  /** Active as well. */
  others: Alarm[];
  /** Gone, but they stay until a person lets them go. */
  held: Alarm[];
  /** Gone by themselves, and nobody said yet that she saw them. */
  over: Alarm[];
  /** Seen, put aside, or not to be judged. */
  quiet: Alarm[];
}

export type Place = keyof SortedAlarms;

const LOUD: ReadonlySet<AlarmState> = new Set(["active", "latched", "cleared"]);

/**
 * Sorts alarms for the banner and for the list that its link leads to, so that both agree.
 * One that is being written about keeps its place: its form does not move under the hand.
 */
export function sortAlarms(
  alarms: readonly Alarm[], writing: Writing | null = null,
): SortedAlarms {
  const kept = (alarm: Alarm): Place | null =>
    writing?.alarm === alarm.id ? writing.place : null;
  const first = alarms.find(
    (alarm) => alarm.state === "active" && (kept(alarm) ?? "banner") === "banner",
  );
  const places: SortedAlarms = { banner: [], others: [], held: [], over: [], quiet: [] };
  for (const alarm of alarms) places[kept(alarm) ?? placeOf(alarm, first)].push(alarm);
  return places;
}

function placeOf(alarm: Alarm, first: Alarm | undefined): Place {
  if (!LOUD.has(alarm.state)) return "quiet";
  if (alarm.state === "latched") return "held";
  if (alarm.state === "cleared") return "over";
  return alarm === first ? "banner" : "others";
}

function attention({ state }: Alarm): number {
  const place = ATTENTION.indexOf(state);
  return place < 0 ? ATTENTION.length : place;
}

function byPressure(a: Alarm, b: Alarm): number {
  return attention(a) - attention(b)
    || URGENCY[a.priority] - URGENCY[b.priority]
    || b.raised_at.localeCompare(a.raised_at);
}
