import type {
  Alarm, AlarmFigures, BenchState, CurveData, Exports, GoodLots, Health, Instant, Instrument,
  LogEntry, Lot, LotEntry, Mark, Outbox, PourDay, RecipeEntry, Workshop,
} from "../types.ts";
import { Refusal, UNREACHABLE, refusalFrom } from "./refusal.ts";

export interface LotOrder {
  recipe: string;
  vessels: number;
  bench: string;
  /** The pour day that the lot is on; null where it is on none. */
  pour_day: string | null;
}

/** A pour day to be planned; masses as text with their unit, `melted` null where nobody knows. */
export interface PourDayPlan {
  lots: { recipe: string; vessels: number }[];
  melted: string | null;
  residue: string;
}

/** What the screens ask of the service. Every call rejects with a Refusal where it fails. */
export interface Service {
  workshop(): Promise<Workshop>;
  recipes(): Promise<RecipeEntry[]>;
  /** The newest first. */
  pourDays(): Promise<PourDay[]>;
  /** Keeps a plan: of the day with this id, or of a new one. */
  planPourDay(id: string | null, plan: PourDayPlan): Promise<{ id: string }>;
  /** Works a plan out without keeping it. */
  previewPourDay(id: string | null, plan: PourDayPlan): Promise<PourDay>;
  health(): Promise<Health>;
  outboxes(): Promise<Outbox[]>;
  instruments(): Promise<Instrument[]>;
  alarms(): Promise<Alarm[]>;
  /** What became of alarms between two times, in order. */
  alarmLog(from: Instant, to: Instant): Promise<LogEntry[]>;
  alarmFigures(from: Instant, to: Instant): Promise<AlarmFigures>;
  bench(name: string): Promise<BenchState>;
  benchCurve(bench: string, channel: string, minutes: number): Promise<CurveData>;
  lots(): Promise<LotEntry[]>;
  lot(id: string): Promise<Lot>;
  lotCurve(id: string, channel: string): Promise<CurveData>;
  goodLots(id: string): Promise<GoodLots>;
  exports(id: string): Promise<Exports>;
  judge(id: string, good: boolean, note: string): Promise<void>;
  openLot(order: LotOrder): Promise<{ id: string }>;
  closeLot(id: string): Promise<void>;
  mark(lot: string, mark: Mark): Promise<{ at: Instant }>;
  acknowledge(alarm: string, note: string): Promise<Alarm>;
  shelve(alarm: string, minutes: number, reason: string): Promise<Alarm>;
  unshelve(alarm: string): Promise<Alarm>;
  reset(alarm: string): Promise<Alarm>;
  typeReading(instrument: string, value: number, unit: string): Promise<void>;
}

const POINTS = 2_000;

/** The status of a service that says what ails it. */
const UNWELL = 503;

/** Asks, and takes the answer of a status that is no refusal as well. */
async function call<T>(path: string, init?: RequestInit, also?: number): Promise<T> {
  const response = await fetch(`/api${path}`, init).catch((cause: unknown) => {
    throw new Refusal(UNREACHABLE, "", [], null, { cause });
  });
  if (!response.ok && response.status !== also) throw await refusalFrom(response);
  return await response.json() as T;
}

function post<T>(path: string, body: object = {}, method = "POST"): Promise<T> {
  const headers = { "content-type": "application/json" };
  return call<T>(path, { method, headers, body: JSON.stringify(body) });
}

const part = encodeURIComponent;

/** Where the file of a lot is; a browser saves it by itself. */
export function exportAddress(id: string, format: string): string {
  return `/api/lots/${part(id)}/export?format=${part(format)}`;
}

/** The service over HTTP, same origin. */
export const httpService: Service = {
  workshop: () => call("/workshop"),
  recipes: () => call("/recipes"),
  pourDays: () => call("/pour-days"),
  planPourDay: (id, plan) => id === null
    ? post("/pour-days", plan)
    : post(`/pour-days/${part(id)}`, plan, "PUT"),
  previewPourDay: (day, plan) => post("/pour-days/preview", { ...plan, day }),
  health: () => call("/health", {}, UNWELL),
  outboxes: () => call("/outbox"),
  instruments: () => call("/instruments"),
  alarms: () => call("/alarms"),
  alarmLog: (from, to) => call(`/alarms/log?from=${part(from)}&to=${part(to)}`),
  alarmFigures: (from, to) => call(`/alarms/figures?from=${part(from)}&to=${part(to)}`),
  bench: (name) => call(`/benches/${part(name)}`),
  benchCurve: (bench, channel, minutes) =>
    call(`/benches/${part(bench)}/curve?channel=${part(channel)}&minutes=${minutes}&points=1200`),
  lots: () => call("/lots"),
  lot: (id) => call(`/lots/${part(id)}`),
  lotCurve: (id, channel) =>
    call(`/lots/${part(id)}/curve?channel=${part(channel)}&points=${POINTS}`),
  goodLots: (id) => call(`/lots/${part(id)}/band`),
  exports: (id) => call(`/lots/${part(id)}/exports`),
  judge: (id, good, note) => post(`/lots/${part(id)}/verdict`, { good, note }),
  openLot: (order) => post("/lots", order),
  closeLot: (id) => post(`/lots/${part(id)}/close`),
  mark: (lot, mark) => post(`/lots/${part(lot)}/marks`, mark),
  acknowledge: (alarm, note) => post(`/alarms/${part(alarm)}/acknowledge`, { note }),
  shelve: (alarm, minutes, reason) =>
    post(`/alarms/${part(alarm)}/shelve`, { minutes, reason }),
  unshelve: (alarm) => post(`/alarms/${part(alarm)}/unshelve`),
  reset: (alarm) => post(`/alarms/${part(alarm)}/reset`),
  typeReading: (instrument, value, unit) =>
    post(`/instruments/${part(instrument)}/readings`, { value, unit }),
};
