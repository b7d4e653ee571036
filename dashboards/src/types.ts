/**
 * The shapes of the service's JSON by the names that the screens use for them.
 * Times are RFC 3339 UTC text, temperatures degrees Celsius, masses grams; contract.ts, made from
 * the service's own description, says the rest.
 */

import type {
  AlarmShown, BandShown, BandStretch, BenchShown, Bounds as Limits, CurveShown, ExportShown,
  FiguresShown, FormatShown, InstrumentShown, LoadLimitShown, LogEntryShown, LotOfDayShown, LotShown,
  MarkRequest, MarkShown, NextMark, OutboxShown, PhaseShown, PotShown,
  PourDayShown, ReadingTold, RecipeOfLot, SheetShown, SpanShown, StepShown, TemperatureTask as Task,
  WindowShown, WorkshopShown,
} from "./contract.ts";

export type {
  Edge, Health, LotEntry, Priority, RecipeEntry, Role, ScaleTask, Verdict, Weighing,
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

export type BenchState = BenchShown;
export type StepState = StepShown["state"];
export type Mark = NextMark & MarkRequest;
export type MarkMade = MarkShown;
/** Seconds from the time of the status; nine times in ten it is between the ends. */
export type Forecast = SpanShown;
export type TemperatureTask = Task;

export type Alarm = AlarmShown;
/** One step in the life of an alarm. */
export type LogEntry = LogEntryShown;
export type AlarmFigures = FiguresShown;
export type AlarmState = AlarmShown["state"];

export type Lot = LotShown;
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

export type PourDay = PourDayShown;
/** What waits to be sent to one place. */
export type Outbox = OutboxShown;
export type LotOfDay = LotOfDayShown;
