/**
 * What the service says, as its HTTP contract defines it.
 * Times are RFC 3339 UTC text, temperatures degrees Celsius, masses grams.
 */

export type Instant = string;
export type Role = "scale" | "pitcher" | "pot" | "room";
export type Edge = "begin" | "end";
export type Quality = "good" | "in motion" | "suspect" | "bad";
export type Unit = "degC" | "g" | "s" | "count";

export interface Workshop {
  name: string;
  timezone: string;
  display: Display;
  benches: string[];
  /** Seconds of the workshop's time in one second of life; 1 but for a simulated day. */
  speed: number;
  now: Instant;
  /** What keeps the service from writing, if anything does. */
  trouble: string | null;
  /** What is not yet trouble, but should be seen to. */
  notice: string | null;
}

export interface Display {
  temperature: "degC" | "degF";
  mass: "g" | "oz";
}

export interface Bounds {
  low: number | null;
  high: number | null;
}

export interface Window {
  low: number;
  high: number;
}

export interface Reading {
  channel: string;
  instrument: string;
  bench: string;
  role: Role;
  value: number;
  unit: string;
  quality: Quality;
  taken_at: Instant;
}

export interface Instrument {
  name: string;
  bench: string;
  role: Role;
  kind: string;
  state: "reading" | "silent" | "lost" | "waiting";
  reason: string | null;
  remedy: string | null;
  rejected: Record<string, number>;
  last: { value: number; unit: string; quality: Quality; taken_at: Instant } | null;
}

export type StepState = "done" | "now" | "next" | "ahead" | "skipped";

export interface Mark {
  phase: string;
  edge: Edge;
}

export interface MarkMade extends Mark {
  at: Instant;
  /** What the scale showed in place of what was marked. */
  contradicted?: string | null;
}

export interface BenchState {
  bench: string;
  at: Instant;
  lot: string | null;
  recipe: string | null;
  vessels: number | null;
  phase: string | null;
  phase_began: Instant | null;
  phase_until: Instant | null;
  pitcher: number | null;
  pitchers: number | null;
  steps: { phase: string; state: StepState }[];
  next_mark: Mark | null;
  do: string | null;
  detail: string | null;
  temperature: TemperatureTask | null;
  scale: ScaleTask | null;
}

/** Seconds from the time of the status; nine times in ten it is between the ends. */
export interface Forecast {
  soonest: number;
  likely: number;
  latest: number;
}

/** The temperature that matters now, what its window is for, and what is ahead of it. */
export interface TemperatureTask extends Bounds {
  channel: string;
  what: "add" | "pour" | null;
  opens_in_s?: Forecast | null;
  closes_in_s?: Forecast | null;
  trend_degc_per_min?: number | null;
  /** Why there is no forecast. */
  why?: string | null;
}

/** Grams to show are the live reading less `base`. */
export interface ScaleTask {
  channel: string;
  base: number | null;
  target: number | null;
  tolerance: number | null;
  what: string | null;
}

export type Priority = "high" | "medium" | "low";
export type AlarmState =
  | "active" | "acknowledged" | "cleared" | "shelved" | "ended"
  | "latched" | "suppressed" | "out of service";

export interface Alarm {
  id: string;
  lot: string | null;
  bench: string | null;
  rule: string;
  priority: Priority;
  phase: string | null;
  pitcher: number | null;
  vessel: number | null;
  subject: string | null;
  limit: Bounds;
  measured: number | null;
  unit: Unit;
  message: string;
  advice: string;
  raised_at: Instant;
  cleared_at: Instant | null;
  outcome: string | null;
  acknowledged_at: Instant | null;
  note: string | null;
  shelved_until: Instant | null;
  state: AlarmState;
  /** Whether it stays until a person lets it go. */
  latched?: boolean;
  shelved_reason?: string | null;
  /** The instrument whose silence keeps it from being judged, or the alarm about that one. */
  suppressed_by?: string | null;
  /** Why its rule is out of service. */
  out_of_service?: string | null;
}

export interface RecipeEntry {
  name: string;
  phases: string[];
}

export interface LotEntry {
  id: string;
  bench: string;
  recipe: string;
  vessels: number;
  state: "open" | "closed";
  opened_at: Instant;
  closed_at: Instant | null;
  deviations: number;
  fills: number;
}

export interface LotPhase {
  phase: string;
  pitcher: number;
  began: Instant;
  ended: Instant | null;
  seconds: number | null;
  evidence: string;
  rests_on: { channel: string; from: Instant; to: Instant; readings: number } | null;
}

export interface Weighing {
  kind: "wax" | "fragrance" | "fill";
  pitcher: number;
  vessel: number | null;
  grams: number;
  target: number;
  tolerance: number;
  at: Instant;
}

export interface LotRecipe {
  name: string;
  windows: { add: Window | null; pour: Window | null };
  never_above: number | null;
  stir_seconds: number | null;
  phases: string[];
}

export interface BatchSheet {
  vessels: number;
  fill: number;
  mix: number;
  wax: number;
  fragrance: number;
  /** Percent of `load_of`. */
  load: number;
  load_of: "wax" | "total";
  pitchers: { pitcher: number; vessels: number; mix: number; wax: number; fragrance: number }[];
  limits?: LoadLimit[];
  pot?: PotRemainder | null;
}

/** The most fragrance that somebody allows, and the lot's load; percent of `basis`. */
export interface LoadLimit {
  by: string;
  basis: "wax" | "total";
  most: number;
  load: number;
}

/** What the pour day's pot still holds against what is to come out of it; null is not known. */
export interface PotRemainder {
  left: number | null;
  needed: number;
  enough: boolean | null;
  message: string;
}

/** A lot of a pour day; `lot` is null until it is opened. */
export interface LotOfDay {
  recipe: string;
  vessels: number;
  lot: string | null;
}

/** Several lots out of one pot, in order. */
export interface PourDay {
  id: string;
  pot: PotRemainder;
  lots: LotOfDay[];
}

/** What a person says of a closed lot. */
export interface Verdict {
  good: boolean;
  note: string;
  at: Instant;
}

/** Where good lots were after an event; `t` in epoch seconds on this lot's own clock. */
export interface Stretch {
  anchor: string;
  t: number[];
  low: number[];
  high: number[];
}

export interface GoodLots {
  lots: string[];
  stretches: Stretch[];
}

export interface Lot {
  id: string;
  bench: string;
  state: "open" | "closed";
  vessels: number;
  opened_at: Instant;
  closed_at: Instant | null;
  recipe: LotRecipe;
  channels: { channel: string; role: Role }[];
  phases: LotPhase[];
  weighings: Weighing[];
  marks: MarkMade[];
  deviations: Alarm[];
  gaps: { from: Instant; to: Instant }[];
  /** How many seconds its times lie before the true ones; null where nobody knows. */
  clock_off: { at: Instant; seconds: number | null }[];
  late?: { from: Instant; to: Instant; readings: number }[];
  batch_sheet: BatchSheet;
  advice: { do: string; detail: string } | null;
  verdict?: Verdict | null;
}

/** One channel over time: `t` in epoch seconds, null where nothing was collected. */
export interface CurveData {
  channel: string;
  unit: string;
  t: number[];
  value: (number | null)[];
}

/** Who is told of alarms beyond the room, and how that stands. */
export interface Notices {
  /** Whether the configuration says anything of it. */
  configured: boolean;
  targets: NoticeTarget[];
  from_priority: "high" | "medium" | "low" | null;
  fold_seconds: number | null;
  repeat_seconds: number | null;
  quiet: QuietHours | null;
  next_test_at: Instant | null;
  /** Alarms that are told together within moments. */
  gathered: number;
  /** Ids of alarms that wait for the end of the quiet hours. */
  held: string[];
}

/** One address that notices go to, by its kind and host. */
export interface NoticeTarget {
  target: string;
  working: boolean;
  reason: string | null;
  trouble_since: Instant | null;
  waiting: number;
  sent: number;
  failed: number;
  lost: number;
  last_sent_at: Instant | null;
  last_failed_at: Instant | null;
  last_failure: string | null;
  test: NoticeTest | null;
}

export interface NoticeTest {
  outcome: "under way" | "sent" | "failed";
  at: Instant;
  reason: string | null;
}

/** By the workshop's wall clock; `until` is null outside of them. */
export interface QuietHours {
  begin: string;
  end: string;
  lets_high_through: boolean;
  now: boolean;
  until: Instant | null;
}
