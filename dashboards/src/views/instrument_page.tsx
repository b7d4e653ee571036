import { useEffect, useMemo } from "preact/hooks";
import type { JSX } from "preact";
import { CalibrationWalkModel } from "../models/calibration_walk.ts";
import { InstrumentScreenModel } from "../models/instrument_screen.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { InstrumentInFull } from "../types.ts";
import { calibration, chart, instruments as words, page } from "../words.ts";
import { CalibrationPanel } from "./calibration_panel.tsx";
import { CalibrationSteps } from "./calibration_steps.tsx";
import { Caution } from "./caution.tsx";
import { InstrumentCurve } from "./instrument_curve.tsx";
import { InstrumentFacts } from "./instrument_facts.tsx";
import "./instrument_page.css";
import { InstrumentCondition, InstrumentValue } from "./instrument_value.tsx";
import "./instruments_page.css";

interface PageProps {
  workshop: WorkshopModel;
  name: string;
}

interface InstrumentProps {
  screen: InstrumentScreenModel;
  full: InstrumentInFull;
}

/** One instrument: how it does, how it is connected, and its calibration. */
export function InstrumentPage({ workshop, name }: PageProps): JSX.Element {
  const screen = useMemo(() => new InstrumentScreenModel(workshop, name), [workshop, name]);
  useEffect(() => screen.start(), [screen]);
  const full = screen.full.value;
  if (screen.missing.value) return <Missing name={name} />;
  if (full === null) return <p class="panel">{page.loading}</p>;
  return <Instrument screen={screen} full={full} />;
}

/** The instrument; while it is calibrated, that alone. */
function Instrument({ screen, full }: InstrumentProps): JSX.Element {
  const { workshop } = screen;
  const walk = useWalk(screen, full);
  if (walk.draft.value !== null) {
    const keep = (): void => void walk.keep().then(() => screen.refresh());
    return (
      <>
        <CalibrationSteps workshop={workshop} full={full} walk={walk} keep={keep} />
        <Caution />
      </>
    );
  }
  return (
    <>
      <Head workshop={workshop} full={full} />
      <CalibrationPanel screen={screen} full={full} walk={walk} />
      <InstrumentCurve screen={screen} full={full} />
      <InstrumentFacts workshop={workshop} full={full} />
      <Caution />
    </>
  );
}

/** The walk of this instrument, which learns the step of its display as the service does. */
function useWalk(screen: InstrumentScreenModel, full: InstrumentInFull): CalibrationWalkModel {
  const walk = useMemo(
    () => new CalibrationWalkModel(
      screen.workshop, full, sessionStorage, (source) => calibration.sources[source].toLowerCase(),
    ),
    [screen],
  );
  useEffect(() => () => walk.close(), [walk]);
  useEffect(() => void (walk.resolution.value = full.resolution), [walk, full.resolution]);
  return walk;
}

function Missing({ name }: { name: string }): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.missing(name)}</h1>
      <p><a class="tall" href={links.instruments}>{words.all}</a></p>
    </div>
  );
}

function Head(props: { workshop: WorkshopModel; full: InstrumentInFull }): JSX.Element {
  const { workshop, full } = props;
  return (
    <section class="panel instrument-head" aria-label={full.name}>
      <div>
        <h1>{full.name}</h1>
        <p class="soft">
          {chart.roles[full.role]} · {words.kinds[full.kind] ?? full.kind} ·{" "}
          {words.bench(full.bench)}
        </p>
        <p><a class="tall" href={links.instruments}>{words.all}</a></p>
      </div>
      <div>
        <InstrumentValue workshop={workshop} instrument={full} />
      </div>
      <InstrumentCondition workshop={workshop} instrument={full} />
    </section>
  );
}
