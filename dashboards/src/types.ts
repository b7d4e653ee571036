/**
 * The shapes of the service's JSON by the names that the screens use for them.
 * Times are RFC 3339 UTC text, temperatures degrees Celsius, masses grams; contract.ts, made from
 * the service's own description, says the rest.
 */

import type {
  AlarmShown, BandShown, BandStretch, BenchShown, BesideShown, Bounds as Limits, CalibrationShown,
  CurveShown, ExportShown, FiguresShown, FormatShown, InstrumentShown, Kept as KeptShown,
  LoadLimitShown, LogEntryShown, LotOfDayShown, LotShown, MarkRequest, MarkShown, NextMark,
  NoteShown, NoticesShown, NoticeTargetShown, OutboxShown, PhaseShown, PhotographShown,
  PitcherMeasured as PitcherShown, PotShown, PourDayShown, PreviewShown, ProblemShown, QuietShown,
  ReadingTold, RecipeOfLot, RecipeShown, SheetShown, SpanShown, StepShown, TemperatureTask as Task,
  UndoShown, VersionShown, WindowShown, WorkshopShown,
} from "./contract.ts";

export type {
  BoilingWater, CalibrationKept, Edge, FitShown, Health, InstrumentInFull, LineShown, LotEntry,
  PointGiven, Priority, ReadingTaken, RecipeEntry, Role, ScaleTask, Verdict, Weighing,
} from "./contract.ts";

export type Instant = string;
export type Workshop = WorkshopShown;
export type Display = WorkshopShown["display"];

/** What is allowed; null is no bound. */
export type Bounds = Limits;
/** A window with both its ends. */
export type Window = WindowShown;

export type Reading = ReadingTold;
export type Quality = ReadingTold["quality"];
export type Unit = AlarmShown["unit"];
export type Instrument = InstrumentShown;
export type Calibration = CalibrationShown;

export type BenchState = BenchShown;
export type StepState = StepShown["state"];
export type Mark = NextMark & MarkRequest;
export type MarkMade = MarkShown;
/** A mark that can be taken back until a time. */
export type Undoable = UndoShown;
/** Seconds from the time of the status; nine times in ten it is between the ends. */
export type Forecast = SpanShown;
export type TemperatureTask = Task;

export type Alarm = AlarmShown;
/** One step in the life of an alarm. */
export type LogEntry = LogEntryShown;
export type AlarmFigures = FiguresShown;
export type AlarmState = AlarmShown["state"];

export type Lot = LotShown;
export type Note = NoteShown;
export type Photograph = PhotographShown;
export type LotPhase = PhaseShown;
export type LotRecipe = RecipeOfLot;
export type BatchSheet = SheetShown;
export type LoadLimit = LoadLimitShown;
export type PotRemainder = PotShown;
/** Where good lots were after an event; `t` in epoch seconds on this lot's own clock. */
export type Stretch = BandStretch;
export type GoodLots = BandShown;
export type CurveData = CurveShown;
/** A lot as a file: in which formats, and how large. */
export type Exports = ExportShown;
export type ExportFormat = FormatShown;

/** A recipe as it stands, with the number of its version. */
export type Recipe = RecipeShown;
/** The recipe's keys and values as the service takes them; quantities are text with a unit. */
export type RecipeDocument = RecipeShown["recipe"];
export type VersionOfRecipe = VersionShown;
export type RecipePreview = PreviewShown;
export type RecipeProblem = ProblemShown;
/** What was measured of one pitcher at the moments that matter. */
export type PitcherMeasured = PitcherShown;
/** Another lot laid on this lot's clock. */
export type Beside = BesideShown;
export type Kept = KeptShown;

export type PourDay = PourDayShown;
/** What waits to be sent to one place. */
export type Outbox = OutboxShown;
export type LotOfDay = LotOfDayShown;

/** Who is told of alarms beyond the room, and how that stands. */
export type Notices = NoticesShown;
/** One address that notices go to, by its kind and host. */
export type NoticeTarget = NoticeTargetShown;
export type QuietHours = QuietShown;
