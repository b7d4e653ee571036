/**
 * The JSON of the service, by the names of its shapes.
 * Made by deploy/contract_types.py from the service's own description: not to be changed by hand.
 */

/** An alarm has been seen. */
export interface AcknowledgeRequest {
  note?: string;
}

/** The next thing to do in an open lot. */
export interface Advice {
  do: string;
  detail: string;
}

/** An alarm as it stands; in a lot it is a deviation. */
export interface AlarmShown {
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
  unit: "degC" | "degC/min" | "g" | "s" | "count";
  message: string;
  advice: string;
  raised_at: string;
  cleared_at: string | null;
  outcome: string | null;
  acknowledged_at: string | null;
  note: string | null;
  latched: boolean;
  reset_at: string | null;
  shelved_until: string | null;
  shelved_reason: string | null;
  suppressed_by: string | null;
  out_of_service: string | null;
  folded_into: string | null;
  state: "active" | "acknowledged" | "cleared" | "latched" | "shelved" | "suppressed" | "out of service" | "ended";
}

/** How soon alarms were acknowledged. */
export interface AnswersShown {
  acknowledged: number;
  never: number;
  median_seconds: number | null;
  p95_seconds: number | null;
}

/** The band of good lots on a lot's own clock, and the lots that it was made of. */
export interface BandShown {
  lots: string[];
  stretches: BandStretch[];
}

/** The band after one anchor; `t` in seconds since 1970, `low` and `high` in °C. */
export interface BandStretch {
  anchor: string;
  t: number[];
  low: number[];
  high: number[];
}

/** The service is alive; what keeps it from writing, and what soon may. */
export interface Beat {
  now: string;
  trouble: string | null;
  notice: string | null;
}

/** A bench as its screen shows it. */
export interface BenchShown {
  bench: string;
  at: string;
  lot: string | null;
  recipe: string | null;
  vessels: number | null;
  phase: string | null;
  phase_began: string | null;
  phase_until: string | null;
  pitcher: number | null;
  pitchers: number | null;
  steps: StepShown[];
  next_mark: NextMark | null;
  do: string;
  detail: string;
  temperature: TemperatureTask | null;
  scale: ScaleTask | null;
}

/** What is allowed; null is no bound. */
export interface Bounds {
  low: number | null;
  high: number | null;
}

/** A channel that a lot was recorded from. */
export interface ChannelShown {
  channel: string;
  role: Role;
}

/**
 * One thing that was looked at; `sentence` is for a person. Its numbers stand beside it.
 * Seconds end in `_s`, bytes in `_bytes`; null where nobody knows.
 */
export interface Check {
  name: string;
  status: "ok" | "warning" | "failing";
  sentence: string;
  [further: string]: unknown;
}

/**
 * At a time, the lot's times were found to lie so many seconds before the true ones. `seconds`
 * is null where they are wrong and nobody knows by how much.
 */
export interface ClockOff {
  at: string;
  seconds: number | null;
}

/** The most alarms in a window. */
export interface CrowdShown {
  alarms: number;
  from: string | null;
}

/** A curve, reduced so that peaks stay; `t` in seconds since 1970, null values are gaps. */
export interface CurveShown {
  channel: string;
  unit: string;
  t: number[];
  value: (number | null)[];
}

/** The units that the workshop reads. */
export interface DisplayShown {
  temperature: "degC" | "degF";
  mass: "g" | "oz";
}

/** Which end of a phase a mark means. */
export type Edge = "begin" | "end";

/** The readings that a weighing rests on: those of a channel in a span, ends included. */
export interface Evidence {
  channel: string;
  from: string;
  to: string;
  readings: number;
}

/** What an export of a lot would hold. */
export interface ExportShown {
  lot: string;
  readings: number;
  /** whether some may have been removed from the store */
  readings_removed: boolean;
  formats: FormatShown[];
}

/** The alarms of a span in numbers. */
export interface FiguresShown {
  from: string;
  to: string;
  alarms: number;
  per_hour: number;
  worst_hour: CrowdShown;
  worst_ten_minutes: CrowdShown;
  floods: FloodShown[];
  chattering: RecurrenceShown[];
  stale: string[];
  answers: AnswersShown;
  priorities: PriorityShare[];
  most_frequent: RecurrenceShown[];
  targets: TargetShown[];
}

/** More alarms than a person can answer; `peak` is the most in ten minutes. */
export interface FloodShown {
  from: string;
  to: string | null;
  peak: number;
}

/** One format in which a lot can be had. */
export interface FormatShown {
  format: "csv" | "parquet" | "jsonl";
  /** what the file is called */
  file: string;
  /** about how large it becomes */
  bytes: number;
  /** why this machine cannot write it */
  unavailable: string | null;
}

/** A time in which nothing was collected. */
export interface Gap {
  from: string;
  to: string;
}

/** How the service does: as well as the worst of its checks. */
export interface Health {
  status: "ok" | "warning" | "failing";
  checks: Check[];
}

/** An instrument as it stands. */
export interface InstrumentShown {
  name: string;
  bench: string;
  role: Role;
  kind: string;
  state: "reading" | "silent" | "lost" | "waiting";
  reason: string | null;
  remedy: string | null;
  rejected: Record<string, number>;
  last: ReadingShown | null;
}

/** A lot's readings are to be kept for good, or no longer. */
export interface KeepRequest {
  note?: string;
}

/** Whether a lot's readings are kept for good, and since when that holds. */
export interface Kept {
  id: string;
  kept: boolean;
  note: string;
  at: string;
}

/** A time of which readings came when the bench had gone on: kept, and not judged. */
export interface LateShown {
  from: string;
  to: string;
  readings: number;
}

/** The most fragrance that somebody allows, and the lot's load, in percent of `basis`. */
export interface LoadLimitShown {
  by: string;
  basis: "wax" | "total";
  most: number;
  load: number;
}

/** One event of the log; `state` is the alarm's after it, null where there is no alarm. */
export interface LogEntryShown {
  at: string;
  event: string;
  alarm: string | null;
  bench: string | null;
  lot: string | null;
  rule: string;
  subject: string | null;
  priority: Priority | null;
  state: "active" | "acknowledged" | "cleared" | "latched" | "shelved" | "suppressed" | "out of service" | "ended" | null;
  text: string;
}

/** A lot that was closed. */
export interface LotClosedShown {
  id: string;
  state?: "closed";
}

/** A lot in a line. */
export interface LotEntry {
  id: string;
  bench: string;
  recipe: string;
  vessels: number;
  state: "open" | "closed";
  opened_at: string;
  closed_at: string | null;
  deviations: number;
  fills: number;
  kept: boolean;
}

/** A lot that was opened. */
export interface LotId {
  id: string;
}

/** One lot of a pour day. */
export interface LotOfDayShown {
  recipe: string;
  vessels: number;
  lot: string | null;
  state: "planned" | "open" | "closed";
  wax: number;
  drawn: number;
  needed: number;
  pitchers: PitcherOfDayShown[];
}

/** Open a lot. */
export interface LotRequest {
  recipe: string;
  vessels: number;
  bench: string;
  pour_day?: string | null;
}

/** Everything about a lot. */
export interface LotShown {
  id: string;
  bench: string;
  state: "open" | "closed";
  vessels: number;
  opened_at: string;
  closed_at: string | null;
  recipe: RecipeOfLot;
  channels: ChannelShown[];
  phases: PhaseShown[];
  weighings: Weighing[];
  marks: MarkShown[];
  deviations: AlarmShown[];
  gaps: Gap[];
  clock_off: ClockOff[];
  late: LateShown[];
  verdict: Verdict | null;
  kept: boolean;
  batch_sheet: SheetShown;
  advice: Advice | null;
}

/** A phase begins or ends. */
export interface MarkRequest {
  phase: string;
  edge: "begin" | "end";
}

/** A person's mark. */
export interface MarkShown {
  phase: string;
  edge: Edge;
  at: string;
  /** what the scale showed against it */
  contradicted: string | null;
}

/** When a mark was taken. */
export interface MarkTaken {
  at: string;
}

/** What the one big button does now. */
export interface NextMark {
  phase: string;
  edge: Edge;
}

/** A rule that a bench does not announce at present. */
export interface OutOfServiceShown {
  bench: string;
  rule: string;
  subject: string | null;
  reason: string;
  since: string;
}

/** How the sending to one target stands. */
export interface OutboxShown {
  target: string;
  /** up to date, catching up, away or misconfigured */
  state: string;
  /** why nothing is sent; null where all is well */
  reason: string | null;
  /** commits that are still to be sent */
  waiting: number;
  /** points that are set aside: the newest, no more than 10,000 */
  refused: number;
  last_sent_at: string | null;
  trouble_since: string | null;
  /** the newest of what is set aside */
  refusals: RefusalShown[];
}

/** One phase of one pitcher as it went. */
export interface PhaseShown {
  phase: string;
  pitcher: number;
  began: string;
  ended: string | null;
  seconds: number | null;
  evidence: Source;
  /** the readings in which the scale showed it */
  rests_on: Evidence | null;
}

/** A phase began or ended. */
export interface PhaseTold {
  phase: string;
  pitcher: number;
  began: string;
  ended: string | null;
  seconds: number | null;
  evidence: Source;
  /** the readings in which the scale showed it */
  rests_on: Evidence | null;
  lot: string | null;
  bench: string | null;
}

/** One pitcher of a pour day: planned, drawn (null before), and still needed. */
export interface PitcherOfDayShown {
  pitcher: number;
  vessels: number;
  wax: number;
  fragrance: number;
  drawn: number | null;
  needed: number;
}

/** What goes into one pitcher. */
export interface PitcherShown {
  pitcher: number;
  vessels: number;
  mix: number;
  wax: number;
  fragrance: number;
}

/** A lot of a pour day. */
export interface PlannedLotRequest {
  recipe: string;
  vessels: number;
}

/** What the pot of a pour day holds, `residue` included; null is not known. */
export interface PotShown {
  pour_day: string;
  must_hold: number;
  residue: number;
  melted: number | null;
  drawn: number;
  left: number | null;
  needed: number;
  enough: boolean | null;
  message: string;
}

/** A pour day that was planned. */
export interface PourDayId {
  id: string;
}

/** Plan a pour day; masses as text with their unit, `melted` null where nobody knows. */
export interface PourDayRequest {
  lots: PlannedLotRequest[];
  melted?: string | null;
  residue?: string;
}

/** A pour day with its pot and its lots, in order. */
export interface PourDayShown {
  id: string;
  planned_at: string;
  pot: PotShown;
  lots: LotOfDayShown[];
}

/** A plan to be worked out and not kept; `day` names the pour day that it would replace. */
export interface PreviewRequest {
  lots: PlannedLotRequest[];
  melted?: string | null;
  residue?: string;
  day?: string | null;
}

/** How soon an alarm wants an answer. */
export type Priority = "high" | "medium" | "low";

/** How many of the alarms have a priority. */
export interface PriorityShare {
  priority: string;
  alarms: number;
  share: number;
}

/** A rule is announced again. */
export interface PutBackRequest {
  rule: string;
  subject?: string | null;
}

/** A reading typed in. */
export interface ReadingRequest {
  value: number;
  unit: string;
}

/** The latest reading of an instrument. */
export interface ReadingShown {
  value: number;
  unit: "degC" | "g" | "%RH" | "Pa";
  quality: "good" | "in motion" | "suspect" | "bad";
  taken_at: string;
}

/** A reading that was typed in. */
export interface ReadingTaken {
  taken_at: string;
}

/** A reading as it came. */
export interface ReadingTold {
  value: number;
  unit: "degC" | "g" | "%RH" | "Pa";
  quality: "good" | "in motion" | "suspect" | "bad";
  taken_at: string;
  channel: string;
  instrument: string;
  bench: string;
  role: Role;
}

/** A recipe as it was last kept, with the document it came in. */
export interface RecipeEntry {
  name: string;
  phases: string[];
  recipe: Record<string, unknown>;
}

/** A recipe that was kept. */
export interface RecipeName {
  name: string;
}

/** A lot's own copy of its recipe. */
export interface RecipeOfLot {
  name: string;
  phases: string[];
  windows: Windows;
  never_above: number | null;
  stir_seconds: number | null;
  document: Record<string, unknown>;
}

/** How often an alarm came. */
export interface RecurrenceShown {
  bench: string | null;
  rule: string;
  subject: string | null;
  alarms: number;
}

/** A point that a target refused for good, in the form in which it was sent. */
export interface RefusalShown {
  at: string;
  reason: string;
  point: string;
}

/** What a channel is used for at its bench. */
export type Role = "scale" | "pitcher" | "pot" | "room";

/** What is weighed now; shown is the live reading less `base`. */
export interface ScaleTask {
  channel: string;
  what: string | null;
  base: number | null;
  target: number | null;
  tolerance: number | null;
}

/**
 * The computed grams of a lot; `load` in percent of `load_of`. `volume` in mL where the recipe
 * gives the vessel so; `pot` where the lot is on a pour day.
 */
export interface SheetShown {
  vessels: number;
  fill: number;
  mix: number;
  wax: number;
  fragrance: number;
  load: number;
  load_of: "wax" | "total";
  volume: number | null;
  limits: LoadLimitShown[];
  pitchers: PitcherShown[];
  pot: PotShown | null;
}

/** An alarm is put aside for a time; screens ask for a reason, older callers give none. */
export interface ShelveRequest {
  minutes: number;
  reason?: string;
}

/** How a phase is known. */
export type Source = "mark" | "scale" | "gap";

/** Seconds until something happens: nine times in ten between `soonest` and `latest`. */
export interface SpanShown {
  soonest: number;
  likely: number;
  latest: number;
}

/** One phase of the strip. */
export interface StepShown {
  phase: string;
  state: "done" | "now" | "next" | "ahead" | "skipped";
}

/** A rule is announced no more at a bench: for all of it, or for one channel or phase. */
export interface TakeOutRequest {
  rule: string;
  subject?: string | null;
  reason: string;
}

/** A published target, with its source, beside what was found. */
export interface TargetShown {
  what: string;
  found: number;
  target: number;
  met: boolean;
  source: string;
}

/**
 * The temperature that matters now, its window, and when that opens and closes. The seconds
 * count from the status's `at`. A window that is open has no `opens_in_s`; `why` says why a
 * time is missing.
 */
export interface TemperatureTask {
  channel: string;
  what: "add" | "pour" | null;
  low: number | null;
  high: number | null;
  opens_in_s: SpanShown | null;
  closes_in_s: SpanShown | null;
  trend_degc_per_min: number | null;
  why: string | null;
}

/** Each event of the stream and its data; not a message by itself. */
export interface Told {
  reading: ReadingTold;
  phase: PhaseTold;
  weighing: WeighingTold;
  alarm: AlarmShown;
  lot: LotEntry;
  bench: BenchShown;
  instrument: InstrumentShown;
  /** every two seconds */
  beat: Beat;
}

/** The maker's last word on how a lot came out. */
export interface Verdict {
  good: boolean;
  note: string;
  at: string;
}

/** The maker's word on how a lot came out. */
export interface VerdictRequest {
  good: boolean;
  note?: string;
}

/** A settled mass that was accepted for a lot. */
export interface Weighing {
  kind: "wax" | "fragrance" | "fill";
  pitcher: number;
  vessel: number | null;
  grams: number;
  target: number;
  tolerance: number;
  at: string;
  evidence: Evidence;
}

/** A mass was accepted. */
export interface WeighingTold {
  kind: "wax" | "fragrance" | "fill";
  pitcher: number;
  vessel: number | null;
  grams: number;
  target: number;
  tolerance: number;
  at: string;
  evidence: Evidence;
  lot: string | null;
  bench: string | null;
}

/** A temperature window, both ends allowed. */
export interface WindowShown {
  low: number;
  high: number;
}

/** The temperature windows of a recipe. */
export interface Windows {
  add: WindowShown | null;
  pour: WindowShown | null;
}

/** The workshop; `trouble` says what keeps the service from writing, `notice` what may soon. */
export interface WorkshopShown {
  name: string;
  timezone: string;
  display: DisplayShown;
  benches: string[];
  speed: number;
  now: string;
  trouble: string | null;
  notice: string | null;
}
