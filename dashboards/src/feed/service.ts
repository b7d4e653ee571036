import type {
  Alarm, AlarmFigures, BenchState, Beside, BoilingWater, CalibrationKept, CurveData, Exports,
  FitShown, GoodLots, Health, Instant, Instrument, InstrumentInFull, Kept, LogEntry, Lot, LotEntry,
  Mark, Notices, Outbox, PitcherMeasured, PointGiven, PourDay, ReadingTaken, Recipe, RecipeDocument,
  RecipeEntry, RecipePreview, VersionOfRecipe, Workshop,
} from "../types.ts";
import { refusalFrom, unreachable } from "./refusal.ts";
import { upload } from "./upload.ts";
import type { Progress } from "./upload.ts";

export interface LotOrder {
  recipe: string;
  vessels: number;
  bench: string;
  /** The pour day that the lot is on; null where it is on none. */
  pour_day: string | null;
}

/** A recipe that is being written; `against` is the kept one that it will replace. */
export interface RecipeDraft {
  document: RecipeDocument;
  vessels: number;
  against: string | null;
}

/** A part of a lot's time. */
export interface Ends {
  from: Instant;
  to: Instant;
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
  recipe(name: string): Promise<Recipe>;
  /** The newest first. */
  recipeVersions(name: string): Promise<VersionOfRecipe[]>;
  previewRecipe(draft: RecipeDraft): Promise<RecipePreview>;
  /** Refused with 409 where another version than `replaces` stands; 0 is for a new recipe. */
  keepRecipe(document: RecipeDocument, replaces: number): Promise<{ version: number }>;
  retireRecipe(name: string): Promise<void>;
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
  /** Every point of the last minutes; from `since` on, epoch seconds, unless that is null. */
  benchCurve(
    bench: string, channel: string, minutes: number, since: number | null,
  ): Promise<CurveData>;
  lots(): Promise<LotEntry[]>;
  lot(id: string): Promise<Lot>;
  /** The curve of the whole lot, or of a part of it with more of its readings. */
  lotCurve(id: string, channel: string, ends?: Ends): Promise<CurveData>;
  /** Of each pitcher, in order. */
  measured(id: string): Promise<PitcherMeasured[]>;
  beside(id: string, other: string): Promise<Beside>;
  /** Keeps a lot's readings for good, or lets them go as those of other lots do. */
  keepReadings(id: string, keep: boolean, note: string): Promise<Kept>;
  goodLots(id: string): Promise<GoodLots>;
  exports(id: string): Promise<Exports>;
  judge(id: string, good: boolean, note: string): Promise<void>;
  writeNote(lot: string, text: string): Promise<void>;
  removeNote(lot: string, note: string, reason: string): Promise<void>;
  sendPhotograph(lot: string, picture: Blob, caption: string, progress: Progress): Promise<void>;
  removePhotograph(lot: string, photograph: string, reason: string): Promise<void>;
  openLot(order: LotOrder): Promise<{ id: string }>;
  closeLot(id: string): Promise<void>;
  mark(lot: string, mark: Mark): Promise<{ at: Instant }>;
  /** Takes back the mark made at a time. */
  undo(lot: string, at: Instant): Promise<{ withdrawn_at: Instant }>;
  acknowledge(alarm: string, note: string): Promise<Alarm>;
  shelve(alarm: string, minutes: number, reason: string): Promise<Alarm>;
  unshelve(alarm: string): Promise<Alarm>;
  reset(alarm: string): Promise<Alarm>;
  notices(): Promise<Notices>;
  /** Sends a test; comes back when all targets have answered, or after a while. */
  testNotices(): Promise<Notices>;
  /** Answers with the value as it is kept, in degrees Celsius or grams. */
  typeReading(instrument: string, value: number, unit: string): Promise<ReadingTaken>;
  instrument(name: string): Promise<InstrumentInFull>;
  previewCalibration(instrument: string, points: PointGiven[]): Promise<FitShown>;
  calibrate(instrument: string, points: PointGiven[], note: string): Promise<void>;
  withdrawCalibration(instrument: string, note: string): Promise<CalibrationKept[]>;
  /** At how many degrees Celsius water boils, by altitude in m or pressure in hPa. */
  boilingWater(by: "altitude" | "pressure", value: number): Promise<BoilingWater>;
}

const POINTS = 2_000;
/** More than any instrument gives in an hour, and the most that the service gives at once. */
const MOST_POINTS = 100_000;

/** The status of a service that says what ails it. */
const UNWELL = 503;

/** Asks, and takes the answer of a status that is no refusal as well. */
async function call<T>(path: string, init?: RequestInit, also?: number): Promise<T> {
  const response = await fetch(`/api${path}`, init).catch(unreachable);
  if (!response.ok && response.status !== also) throw await refusalFrom(response);
  return await response.json().catch(unreachable) as T;
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
  recipe: (name) => call(`/recipes/${part(name)}`),
  recipeVersions: (name) => call(`/recipes/${part(name)}/versions`),
  previewRecipe: (draft) => post("/recipes/preview", draft),
  keepRecipe: (document, replaces) => post(`/recipes?replaces=${replaces}`, document),
  retireRecipe: (name) => post(`/recipes/${part(name)}/retire`),
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
  benchCurve: (bench, channel, minutes, since) => {
    const from = since === null ? "" : `&since=${since}`;
    const wanted = `channel=${part(channel)}&minutes=${minutes}&points=${MOST_POINTS}${from}`;
    return call(`/benches/${part(bench)}/curve?${wanted}`);
  },
  lots: () => call("/lots"),
  lot: (id) => call(`/lots/${part(id)}`),
  lotCurve: (id, channel, ends) => {
    const within = ends === undefined ? "" : `&from=${part(ends.from)}&to=${part(ends.to)}`;
    return call(`/lots/${part(id)}/curve?channel=${part(channel)}&points=${POINTS}${within}`);
  },
  measured: (id) => call(`/lots/${part(id)}/measured`),
  beside: (id, other) => call(`/lots/${part(id)}/beside/${part(other)}`),
  keepReadings: (id, keep, note) =>
    post(`/lots/${part(id)}/${keep ? "keep" : "release"}`, { note }),
  goodLots: (id) => call(`/lots/${part(id)}/band`),
  exports: (id) => call(`/lots/${part(id)}/exports`),
  judge: (id, good, note) => post(`/lots/${part(id)}/verdict`, { good, note }),
  writeNote: (lot, text) => post(`/lots/${part(lot)}/notes`, { text }),
  removeNote: (lot, note, reason) =>
    post(`/lots/${part(lot)}/notes/${part(note)}/remove`, { reason }),
  sendPhotograph: (lot, picture, caption, progress) =>
    upload(`/lots/${part(lot)}/photographs?caption=${part(caption)}`, picture, progress),
  removePhotograph: (lot, photograph, reason) =>
    post(`/lots/${part(lot)}/photographs/${part(photograph)}/remove`, { reason }),
  openLot: (order) => post("/lots", order),
  closeLot: (id) => post(`/lots/${part(id)}/close`),
  mark: (lot, mark) => post(`/lots/${part(lot)}/marks`, mark),
  undo: (lot, at) => post(`/lots/${part(lot)}/marks/undo`, { at }),
  acknowledge: (alarm, note) => post(`/alarms/${part(alarm)}/acknowledge`, { note }),
  shelve: (alarm, minutes, reason) =>
    post(`/alarms/${part(alarm)}/shelve`, { minutes, reason }),
  unshelve: (alarm) => post(`/alarms/${part(alarm)}/unshelve`),
  reset: (alarm) => post(`/alarms/${part(alarm)}/reset`),
  typeReading: (instrument, value, unit) =>
    post(`/instruments/${part(instrument)}/readings`, { value, unit }),
  notices: () => call("/notices"),
  testNotices: () => post("/notices/test"),
  instrument: (name) => call(`/instruments/${part(name)}`),
  previewCalibration: (instrument, points) =>
    post(`/instruments/${part(instrument)}/calibrations/preview`, { points }),
  calibrate: (instrument, points, note) =>
    post(`/instruments/${part(instrument)}/calibrations`, { points, note }),
  withdrawCalibration: (instrument, note) =>
    post(`/instruments/${part(instrument)}/calibrations/withdraw`, { note }),
  boilingWater: (by, value) => call(`/boiling-water?${by}=${value}`),
};

/** Where a photograph's bytes are. */
export function photographAddress(lot: string, photograph: string): string {
  return `/api/lots/${part(lot)}/photographs/${part(photograph)}`;
}
