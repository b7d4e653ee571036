import { useEffect, useMemo } from "preact/hooks";
import type { JSX } from "preact";
import { BenchScreenModel } from "../models/bench_screen.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { BenchState } from "../types.ts";
import { bench as words, page } from "../words.ts";
import { AlarmBanner, OtherAlarms } from "./alarm_banner.tsx";
import { BenchChart } from "./bench_chart.tsx";
import "./bench_page.css";
import { Caution } from "./caution.tsx";
import { CloseLot } from "./close_lot.tsx";
import { HandPanel } from "./hand_panel.tsx";
import { InstrumentRow } from "./instrument_row.tsx";
import { MarkButton } from "./mark_button.tsx";
import { OpenLotForm } from "./open_lot_form.tsx";
import { ScaleFigure } from "./scale_figure.tsx";
import { Steps } from "./steps.tsx";
import { TaskPanel } from "./task_panel.tsx";
import { TemperatureFigure } from "./temperature_figure.tsx";

interface BenchPageProps {
  workshop: WorkshopModel;
  bench: string;
}

/** The screen beside the scale: read from two meters, worked with an elbow. */
export function BenchPage({ workshop, bench }: BenchPageProps): JSX.Element {
  const screen = useMemo(() => new BenchScreenModel(workshop, bench), [workshop, bench]);
  useEffect(() => screen.start(), [screen]);
  const state = screen.bench.state.value;
  return (
    <div class="bench">
      <h1 class="unseen">{words.title(bench)}</h1>
      <AlarmBanner workshop={workshop} bench={bench} />
      {state === null
        ? <p class="panel">{page.loading}</p>
        : <Work screen={screen} state={state} />}
      <InstrumentRow workshop={workshop} bench={bench} />
      <Caution />
    </div>
  );
}

function Work({ screen, state }: { screen: BenchScreenModel; state: BenchState }): JSX.Element {
  const { workshop, bench } = screen;
  const idle = state.lot === null;
  return (
    <>
      {idle ? <OpenLotForm workshop={workshop} bench={bench} /> : <LotLine state={state} />}
      {idle ? null : <Steps steps={state.steps} />}
      <div class={idle ? "work idle" : "work"}>
        {idle ? null : <TaskPanel workshop={workshop} state={state} />}
        <div class={isWeighing(state) ? "figures weighing" : "figures"}>
          <TemperatureFigure workshop={workshop} state={state} />
          <ScaleFigure workshop={workshop} bench={state.bench} task={state.scale} />
        </div>
        {idle ? null : <MarkButton workshop={workshop} bench={bench} />}
      </div>
      <HandPanel readings={screen.hand} />
      <OtherAlarms workshop={workshop} bench={state.bench} />
      <BenchChart screen={screen} />
      {idle ? null : <div class="closing"><CloseLot key={state.lot} bench={bench} /></div>}
    </>
  );
}

/** Whether the scale's number is the one that the present step needs. */
function isWeighing(state: BenchState): boolean {
  return state.scale !== null && state.scale.target !== null;
}

function LotLine({ state }: { state: BenchState }): JSX.Element {
  const pitchers = state.pitchers ?? 1;
  return (
    <p class="lot-line">
      <strong>{state.recipe}</strong>
      <span>{words.vessels(state.vessels ?? 0)}</span>
      {pitchers > 1 ? <span>{words.pitcher(state.pitcher ?? 1, pitchers)}</span> : null}
      {state.lot === null ? null : <a href={links.lot(state.lot)}>{words.lot(state.lot)}</a>}
    </p>
  );
}
