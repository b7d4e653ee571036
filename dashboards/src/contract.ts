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
  undo: UndoShown | null;
  do: string;
  detail: string;
  temperature: TemperatureTask | null;
  scale: ScaleTask | null;
}

/** Another lot's first pitcher on this lot's clock, and how the two differ. */
export interface BesideShown {
  lot: string;
  recipe: string;
  opened_at: string;
  stretches: BesideStretch[];
  events: EventBeside[];
  phases: PhaseBeside[];
}

/** The other lot after one event; `t` in seconds since 1970 on this lot's clock, °C. */
export interface BesideStretch {
  anchor: string;
  t: number[];
  /** null values are gaps */
  value: (number | null)[];
}

/** The temperature at which water boils under a pressure. */
export interface BoilingWater {
  temperature: number;
  pressure_hpa: number;
}

/** What is allowed; null is no bound. */
export interface Bounds {
  low: number | null;
  high: number | null;
}

/** An entry of an instrument's history; a withdrawal has no line and no points. */
export interface CalibrationKept {
  at: string;
  withdrawn: boolean;
  line: LineShown | null;
  points: PointShown[];
  note: string;
}

/** Points whose line is to be kept; `note` says by whom or with what. */
export interface CalibrationRequest {
  points: PointGiven[];
  note?: string;
}

/** The calibration in force; `due` where it is older than twelve months. */
export interface CalibrationShown {
  offset: number;
  gain: number;
  step: number;
  at: string;
  points: PointShown[];
  note: string;
  age_days: number;
  due: boolean;
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

/**
 * An event that both lots had: when, how warm the wax was, and how far the other differs.
 * `difference` is the other lot's temperature less this one's, null where either is not known.
 */
export interface EventBeside {
  anchor: string;
  at: string;
  other_at: string;
  here: number | null;
  there: number | null;
  difference: number | null;
}

/** The readings that a weighing rests on: those of a channel in a span, ends included. */
export interface Evidence {
  channel: string;
  from: string;
  to: string;
  readings: number;
}

/** What a shown value is kept as: with the calibration of today, and with this one. */
export interface Example {
  shown: number;
  now: number;
  then: number;
}

/** What an export of a lot would hold. */
export interface ExportShown {
  lot: string;
  readings: number;
  /** whether some may have been removed from the store */
  readings_removed: boolean;
  formats: FormatShown[];
}

/** One thing about how an instrument is connected, such as its port. */
export interface Fact {
  what: string;
  value: string;
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

/** Points of which a person wants to see the line. */
export interface FitRequest {
  points: PointGiven[];
}

/** What points come to; nothing is kept of it. */
export interface FitShown {
  offset: number;
  gain: number;
  step: number;
  unit: "degC" | "g" | "%RH" | "Pa";
  resolution: number | null;
  points: PointFitted[];
  examples: Example[];
  remarks: ("one point" | "not straight" | "nothing to correct")[];
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

/**
 * An instrument, how it is reached, and every calibration of it, the latest first.
 * `silent_after` is how many seconds it may say nothing; `resolution` the smallest step of its
 * display in degC or g, null where that cannot be told; `not_now` says why it cannot be
 * calibrated at the moment, null where it can.
 */
export interface InstrumentInFull {
  name: string;
  bench: string;
  role: Role;
  kind: string;
  state: "reading" | "silent" | "lost" | "waiting";
  reason: string | null;
  remedy: string | null;
  rejected: Record<string, number>;
  not_kept: Record<string, number>;
  readings: number;
  per_second: number | null;
  last: ReadingShown | null;
  calibration: CalibrationShown | null;
  connection: Fact[];
  silent_after: number | null;
  resolution: number | null;
  calibrations: CalibrationKept[];
  not_now: string | null;
}

/**
 * An instrument as it stands. `rejected` counts, by reason, what came and was not understood;
 * `not_kept` what was understood and confirmed to its sender, but has no place in this
 * workshop. `readings` are those kept since the start of the service, `per_second` is how many
 * came lately, in the workshop's own time; null until that can be told.
 */
export interface InstrumentShown {
  name: string;
  bench: string;
  role: Role;
  kind: string;
  state: "reading" | "silent" | "lost" | "waiting";
  reason: string | null;
  remedy: string | null;
  rejected: Record<string, number>;
  not_kept: Record<string, number>;
  readings: number;
  per_second: number | null;
  last: ReadingShown | null;
  calibration: CalibrationShown | null;
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

/** A correction: `gain` times the shown value, plus `offset`, rounded to `step`. */
export interface LineShown {
  offset: number;
  gain: number;
  step: number;
}

/** The most fragrance that somebody allows, and the lot's load, in percent of `basis`. */
export interface LoadLimitShown {
  by: string;
  basis: "wax" | "total";
  most: number;
  load: number;
}

/** The fragrance that is really in the wax, in percent on either basis. */
export interface LoadReached {
  of_wax: number;
  of_total: number;
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
  /** what the service said, or a person: a note, a reason */
  text: string;
  /** until when it is shelved */
  until: string | null;
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
  notes: NoteShown[];
  photographs: PhotographShown[];
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
  /** when it was taken back as a mistake */
  withdrawn_at: string | null;
}

/** When a mark was taken. */
export interface MarkTaken {
  at: string;
}

/** The mark that was taken back, and when. */
export interface MarkUndone {
  phase: string;
  edge: Edge;
  at: string;
  withdrawn_at: string;
}

/** What the one big button does now. */
export interface NextMark {
  phase: string;
  edge: Edge;
}

/** Write something about a lot. */
export interface NoteRequest {
  text: string;
}

/** What a person wrote about a lot. */
export interface NoteShown {
  id: string;
  at: string;
  text: string;
  /** null while it stands */
  removed: TakenBack | null;
}

/** How one target stands; `target` is its kind and host and never the whole address. */
export interface NoticeTargetShown {
  target: string;
  /** false while the latest attempt failed */
  working: boolean;
  /** why nothing gets through; null where all is well */
  reason: string | null;
  trouble_since: string | null;
  /** messages that are still to be sent */
  waiting: number;
  /** messages sent since the start of the service */
  sent: number;
  /** attempts that failed since the start of the service */
  failed: number;
  /** messages that were given up since the start of the service */
  lost: number;
  last_sent_at: string | null;
  last_failed_at: string | null;
  /** why the latest failure was one */
  last_failure: string | null;
  test: NoticeTestShown | null;
}

/** What came of a target's latest test. */
export interface NoticeTestShown {
  outcome: "under way" | "sent" | "failed";
  at: string;
  /** why it could not be sent; null where it was */
  reason: string | null;
}

/** What is told beyond the room, to whom, and how it stands. */
export interface NoticesShown {
  /** false where workshop.toml has no [notices] */
  configured: boolean;
  targets: NoticeTargetShown[];
  from_priority: "high" | "medium" | "low" | null;
  fold_seconds: number | null;
  /** null where nothing is told again */
  repeat_seconds: number | null;
  quiet: QuietShown | null;
  next_test_at: string | null;
  /** alarms that are told together within moments */
  gathered: number;
  /** ids of alarms that wait for the end of the quiet hours */
  held: string[];
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

/** How many seconds a phase lasted; `difference` is the other lot's less this one's. */
export interface PhaseBeside {
  phase: string;
  here: number | null;
  there: number | null;
  difference: number | null;
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

/** A photograph of a lot; `bytes` is its size, pixels are null where it does not say. */
export interface PhotographShown {
  id: string;
  at: string;
  caption: string;
  media_type: string;
  width: number | null;
  height: number | null;
  bytes: number;
  sha256: string;
  /** once it says when, its bytes are gone */
  removed: TakenBack | null;
}

/** One pitcher of a lot at the moments that matter. */
export interface PitcherMeasured {
  pitcher: number;
  /** the thermometer; null where there is none */
  channel: string | null;
  /** whether the fragrance was weighed into a beaker of its own */
  apart: boolean;
  /** when the fragrance began to go into the wax; null where that was not seen */
  added: TemperatureThen | null;
  pour_began: TemperatureThen | null;
  pour_ended: TemperatureThen | null;
  load: LoadReached | null;
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

/** A point, what the line makes of it, and by how much the reference is above the line. */
export interface PointFitted {
  reference: number;
  shown: number;
  of: string;
  corrected: number;
  residual: number;
}

/** What was shown where the true value was known; `of` says what was measured. */
export interface PointGiven {
  reference: number;
  shown: number;
  of?: string;
}

/** A point of a calibration that is kept. */
export interface PointShown {
  reference: number;
  shown: number;
  of: string;
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

/**
 * What can be said of a recipe that is still being written. `sheet` is null where the grams are
 * not known yet, `changes` where it is not finished or replaces nothing; `cautions` say what it
 * leaves unwatched about heat.
 */
export interface PreviewShown {
  problems: ProblemShown[];
  sheet: SheetShown | null;
  changes: string[] | null;
  cautions: string[];
}

/** How soon an alarm wants an answer. */
export type Priority = "high" | "medium" | "low";

/** How many of the alarms have a priority. */
export interface PriorityShare {
  priority: string;
  alarms: number;
  share: number;
}

/** What is wrong with one field, by its path of keys; `missing` where it is still empty. */
export interface ProblemShown {
  path: (string | number)[];
  message: string;
  missing: boolean;
}

/** A rule is announced again. */
export interface PutBackRequest {
  rule: string;
  subject?: string | null;
}

/** The quiet hours, by the workshop's wall clock; `until` is null outside of them. */
export interface QuietShown {
  begin: string;
  end: string;
  lets_high_through: boolean;
  now: boolean;
  until: string | null;
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

/** A reading that was typed in, as it is kept: corrected where there is a calibration. */
export interface ReadingTaken {
  taken_at: string;
  value: number;
  unit: "degC" | "g" | "%RH" | "Pa";
}

/**
 * A reading as it came. `shown` is what the instrument showed before its calibration, null
 * where nobody knows any more.
 */
export interface ReadingTold {
  value: number;
  unit: "degC" | "g" | "%RH" | "Pa";
  quality: "good" | "in motion" | "suspect" | "bad";
  taken_at: string;
  channel: string;
  instrument: string;
  bench: string;
  role: Role;
  shown: number | null;
  /** when it was taken, as in a curve: seconds since 1970 */
  t: number;
  /**
   * how many of the channel before it are not told, since there were too many at once; they are
   * in the curve
   */
  skipped: number;
}

/**
 * A recipe as it was last kept, with the document it came in, and what became of it. `fill` in
 * grams, `load` in percent of `load_of`; `version` is also how many there are; `last_made` is
 * null before its first lot; `retired` where it was put away.
 */
export interface RecipeEntry {
  name: string;
  phases: string[];
  recipe: Record<string, unknown>;
  version: number;
  kept_at: string;
  wax: string;
  fragrance: string;
  fill: number;
  load: number;
  load_of: "wax" | "total";
  lots: number;
  last_made: string | null;
  retired: boolean;
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

/** A recipe that was put away. */
export interface RecipeRetiredShown {
  name: string;
  retired: boolean;
}

/** One recipe as it stands; `file` where a file of the recipe folder holds it too. */
export interface RecipeShown {
  name: string;
  version: number;
  kept_at: string;
  recipe: Record<string, unknown>;
  file: string | null;
  retired: boolean;
}

/** A recipe that was kept, and which of its versions stands now. */
export interface RecipeVersion {
  name: string;
  version: number;
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

/** Take a note or a photograph back, and say why. */
export interface TakeBackRequest {
  reason: string;
}

/** A rule is announced no more at a bench: for all of it, or for one channel or phase. */
export interface TakeOutRequest {
  rule: string;
  subject?: string | null;
  reason: string;
}

/** When a note or a photograph was taken back, and why. */
export interface TakenBack {
  at: string;
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

/** The pitcher's temperature at a moment; `value` is null where no probe told. */
export interface TemperatureThen {
  at: string;
  value: number | null;
  /** outside the recipe's window by more than a probe's error */
  off: boolean;
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
  /** every second */
  beat: Beat;
}

/** Take a mark back; without a time the latest one. */
export interface UndoRequest {
  /** when the mark was made, as the service tells it */
  at?: string | null;
}

/** The latest mark, as long as it can be taken back: made `at`, until `until`. */
export interface UndoShown {
  phase: string;
  edge: Edge;
  at: string;
  until: string;
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

/**
 * One version of a recipe: what it changed against the one before, in words. `file` is the
 * recipe folder's file that it came from, null where a person kept it.
 */
export interface VersionShown {
  number: number;
  at: string;
  recipe: Record<string, unknown>;
  changes: string[];
  file: string | null;
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

/** Why the readings are to be kept as shown again. */
export interface WithdrawRequest {
  note?: string;
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

/** A plan to be worked out and not kept; `day` names the pour day that it would replace. */
export interface api__pour_day_shapes__PreviewRequest {
  lots: PlannedLotRequest[];
  melted?: string | null;
  residue?: string;
  day?: string | null;
}

/** A recipe that is still being written; `against` names the kept one it will replace. */
export interface api__recipe_shapes__PreviewRequest {
  document: Record<string, unknown>;
  vessels: number;
  against?: string | null;
}
