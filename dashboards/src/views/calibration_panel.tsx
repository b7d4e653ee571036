import type { JSX } from "preact";
import type { CalibrationWalkModel } from "../models/calibration_walk.ts";
import type { InstrumentScreenModel } from "../models/instrument_screen.ts";
import type { InstrumentInFull } from "../types.ts";
import { calibration as words } from "../words.ts";
import { CalibrationHistory } from "./calibration_history.tsx";
import { CalibrationLine } from "./calibration_line.tsx";
import "./calibration_panel.css";

interface PanelProps {
  screen: InstrumentScreenModel;
  full: InstrumentInFull;
  walk: CalibrationWalkModel;
}

/** The calibration in force, what came before it, and the way to a new one. */
export function CalibrationPanel({ screen, full, walk }: PanelProps): JSX.Element {
  return (
    <section class="panel calibration" aria-labelledby="calibration-title">
      <h2 id="calibration-title">{words.title}</h2>
      <p role="status">{walk.kept.value ? <strong>{words.kept}</strong> : null}</p>
      <CalibrationLine workshop={screen.workshop} instrument={full} />
      <p class="soft">{words.what}</p>
      {full.not_now === null
        ? (
          <button type="button" class="main" onClick={() => walk.begin()}>
            {full.calibration === null ? words.begin : words.again}
          </button>
        )
        : <p><strong>{words.notNow}.</strong> {full.not_now}</p>}
      <CalibrationHistory screen={screen} full={full} />
    </section>
  );
}
