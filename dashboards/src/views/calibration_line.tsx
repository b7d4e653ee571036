import type { JSX } from "preact";
import { lineWords, sinceWords } from "../models/calibration_words.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Instrument } from "../types.ts";
import { calibration as words } from "../words.ts";

interface LineProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

/** Since when an instrument is calibrated, what that does, and whether it is due again. */
export function CalibrationLine({ workshop, instrument }: LineProps): JSX.Element {
  const { calibration, role } = instrument;
  if (calibration === null) return <p class="soft">{words.none}</p>;
  const display = workshop.preferences.display.value;
  return (
    <p>
      {sinceWords(calibration, workshop.wall.value)}: {lineWords(calibration, role, display)}.
      {calibration.due ? ` ${words.due}` : ""}
    </p>
  );
}
