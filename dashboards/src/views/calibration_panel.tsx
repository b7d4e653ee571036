import { useEffect, useMemo, useState } from "preact/hooks";
import type { JSX } from "preact";
import { CalibrationWalkModel } from "../models/calibration_walk.ts";
import type { InstrumentScreenModel } from "../models/instrument_screen.ts";
import type { InstrumentInFull } from "../types.ts";
import { calibration as words } from "../words.ts";
import { CalibrationHistory } from "./calibration_history.tsx";
import { CalibrationLine } from "./calibration_line.tsx";
import "./calibration_panel.css";
import { CalibrationSteps } from "./calibration_steps.tsx";

interface PanelProps {
  screen: InstrumentScreenModel;
  full: InstrumentInFull;
}

/** The calibration in force, and the way to a new one, a step at a time. */
export function CalibrationPanel({ screen, full }: PanelProps): JSX.Element {
  const walk = useWalk(screen, full);
  const [kept, setKept] = useState(false);
  const keep = async (): Promise<void> => {
    if (!await walk.keep()) return;
    setKept(true);
    await screen.refresh();
  };
  const begin = (): void => {
    setKept(false);
    walk.begin();
  };
  if (walk.draft.value !== null) {
    return <CalibrationSteps screen={screen} full={full} walk={walk} keep={() => void keep()} />;
  }
  return (
    <section class="panel calibration" aria-labelledby="calibration-title">
      <h2 id="calibration-title">{words.title}</h2>
      <p role="status">{kept ? <strong>{words.kept}</strong> : null}</p>
      <CalibrationLine workshop={screen.workshop} instrument={full} />
      <p class="soft">{words.what}</p>
      {full.not_now === null
        ? (
          <button type="button" class="main" onClick={begin}>
            {full.calibration === null ? words.begin : words.again}
          </button>
        )
        : <p><strong>{words.notNow}.</strong> {full.not_now}</p>}
      <CalibrationHistory screen={screen} full={full} />
    </section>
  );
}

/** The walk of this instrument; a finer step of its display, once known, makes it anew. */
function useWalk(screen: InstrumentScreenModel, full: InstrumentInFull): CalibrationWalkModel {
  const walk = useMemo(
    () => new CalibrationWalkModel(
      screen.workshop, full, sessionStorage, (source) => words.sources[source].toLowerCase(),
    ),
    [screen, full.resolution],
  );
  useEffect(() => () => walk.close(), [walk]);
  return walk;
}
