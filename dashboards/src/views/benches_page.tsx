import { useEffect, useMemo } from "preact/hooks";
import type { JSX } from "preact";
import { BenchModel } from "../models/bench.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { BenchState } from "../types.ts";
import { bench as words, page } from "../words.ts";
import { AlarmCard } from "./alarm_card.tsx";
import "./benches_page.css";
import { Caution } from "./caution.tsx";
import { ScaleFigure } from "./scale_figure.tsx";
import { TaskPanel } from "./task_panel.tsx";
import { TemperatureFigure } from "./temperature_figure.tsx";

/** Every bench beside the others, for a screen on the wall. */
export function BenchesPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const benches = workshop.info.value?.benches ?? [];
  return (
    <>
      <h1 class="unseen">{words.all}</h1>
      <div class="all-benches">
        {benches.map((bench) => <BenchGlance key={bench} workshop={workshop} bench={bench} />)}
      </div>
      <Caution />
    </>
  );
}

interface GlanceProps {
  workshop: WorkshopModel;
  bench: string;
}

/** What matters at one bench now; everything else is on its own page. */
function BenchGlance({ workshop, bench }: GlanceProps): JSX.Element {
  const model = useBench(workshop, bench);
  const state = model.state.value;
  return (
    <section class="bench-glance" aria-label={words.title(bench)}>
      <h2><a href={links.bench(bench)}>{words.title(bench)}</a></h2>
      <PressingAlarm workshop={workshop} bench={bench} />
      {state === null ? <p class="panel">{page.loading}</p> : <Now {...{ workshop, state }} />}
    </section>
  );
}

function Now({ workshop, state }: { workshop: WorkshopModel; state: BenchState }): JSX.Element {
  const shared = { workshop, state, within: words.title(state.bench) };
  return (
    <>
      <p class="lot-line">
        {state.lot === null
          ? words.noLot
          : <><strong>{state.recipe}</strong> <span>{words.vessels(state.vessels ?? 0)}</span></>}
      </p>
      {state.lot === null ? null : <TaskPanel {...shared} />}
      <TemperatureFigure {...shared} />
      <ScaleFigure {...shared} bench={state.bench} task={state.scale} />
    </>
  );
}

function PressingAlarm({ workshop, bench }: GlanceProps): JSX.Element | null {
  const active = workshop.alarms.current.value.filter(
    (alarm) => alarm.state === "active" && (alarm.bench === bench || alarm.bench === null),
  );
  const [pressing] = active;
  if (pressing === undefined) return null;
  return (
    <div class="alarms">
      <AlarmCard workshop={workshop} alarm={pressing} place="others" showsKey={false} />
      {active.length > 1
        ? <a href={links.bench(bench)}>{words.moreAlarms(active.length - 1)}</a>
        : null}
    </div>
  );
}

function useBench(workshop: WorkshopModel, bench: string): BenchModel {
  const model = useMemo(() => {
    const { feed, service } = workshop.outside;
    return new BenchModel(bench, feed, service, workshop.complaints);
  }, [workshop, bench]);
  const connection = workshop.connection.value;
  useEffect(() => () => model.close(), [model]);
  useEffect(() => void workshop.complaints.watch(() => model.load()), [model, connection]);
  return model;
}
