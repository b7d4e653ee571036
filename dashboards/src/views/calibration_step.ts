import type { Draft } from "../models/calibration_draft.ts";
import type { CalibrationWalkModel } from "../models/calibration_walk.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { InstrumentInFull } from "../types.ts";

/** What every step of a calibration gets. */
export interface StepProps {
  workshop: WorkshopModel;
  full: InstrumentInFull;
  walk: CalibrationWalkModel;
  draft: Draft;
}
