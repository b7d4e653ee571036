import { signal } from "@preact/signals";
import type { Service } from "../feed/service.ts";
import type { AlarmFigures, LogEntry, Priority } from "../types.ts";
import type { Complaints } from "./complaints.ts";

/** An alarm as the log tells it: what it was about, and what became of it, in order. */
export interface AlarmStory {
  /** The alarm's id, or what stands in its place where a rule was taken out of service. */
  key: string;
  rule: string;
  bench: string | null;
  lot: string | null;
  priority: Priority | null;
  steps: LogEntry[];
}

/** What narrows a history; null leaves it open. */
export interface HistoryFilter {
  bench: string | null;
  rule: string | null;
  priority: string | null;
}

/** The alarms of a stretch of time and their figures. */
export class AlarmHistoryModel {
  readonly entries = signal<LogEntry[] | null>(null);
  readonly figures = signal<AlarmFigures | null>(null);
  readonly #service: Service;
  readonly #complaints: Complaints;
  #turn = 0;

  constructor(service: Service, complaints: Complaints) {
    this.#service = service;
    this.#complaints = complaints;
  }

  /** Fetches what happened from `fromMs` until before `toMs`, epoch milliseconds. */
  load(fromMs: number, toMs: number): Promise<void> {
    const [from, to] = [new Date(fromMs).toISOString(), new Date(toMs).toISOString()];
    this.#turn += 1;
    const turn = this.#turn;
    return this.#complaints.watch(async () => {
      const [entries, figures] = await Promise.all([
        this.#service.alarmLog(from, to), this.#service.alarmFigures(from, to),
      ]);
      if (turn !== this.#turn) return; // another stretch was asked for since
      this.entries.value = entries;
      this.figures.value = figures;
    });
  }
}

/** Gathers the log by alarm, the latest to happen first. */
export function storiesOf(entries: readonly LogEntry[]): AlarmStory[] {
  const stories = new Map<string, AlarmStory>();
  for (const entry of entries) {
    const key = entry.alarm ?? `${entry.bench} ${entry.rule} ${entry.subject ?? ""}`;
    const story = stories.get(key) ?? started(key, entry);
    story.steps.push(entry);
    stories.set(key, story);
  }
  return [...stories.values()].reverse();
}

export function matching(
  stories: readonly AlarmStory[], { bench, rule, priority }: HistoryFilter,
): AlarmStory[] {
  return stories.filter((story) => (bench ?? story.bench) === story.bench
    && (rule ?? story.rule) === story.rule && (priority ?? story.priority) === story.priority);
}

function started(key: string, { rule, bench, lot, priority }: LogEntry): AlarmStory {
  return { key, rule, bench, lot, priority, steps: [] };
}
