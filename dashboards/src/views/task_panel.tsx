import type { JSX } from "preact";
import { phaseClock } from "../models/phase_clock.ts";
import { duration } from "../models/quantities.ts";
import { unbroken } from "../models/unbroken.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { BenchState } from "../types.ts";
import { bench as words, phaseName } from "../words.ts";
import { spoken } from "./figure.tsx";
import "./task_panel.css";

interface TaskProps {
  workshop: WorkshopModel;
  state: BenchState;
  within?: string;
}

/** The next thing to do, in words, and the clock of the phase. */
export function TaskPanel({ workshop, state, within }: TaskProps): JSX.Element {
  const { preferences } = workshop;
  const todo = state.do === "" ? words.nothing : preferences.told(state.do);
  const lost = workshop.outside.feed.status.value === "lost";
  const detail = lost ? words.asItWas : state.detail;
  return (
    <section class="panel task" aria-label={spoken(words.doNow, within)}>
      <div>
        <h2 class={lost ? "task-words soft" : "task-words"}>{unbroken(todo)}</h2>
        {detail === ""
          ? null
          : <p class="task-detail soft">{unbroken(preferences.told(detail))}</p>}
      </div>
      <PhaseClock workshop={workshop} state={state} />
    </section>
  );
}

function PhaseClock({ workshop, state }: TaskProps): JSX.Element {
  const clock = phaseClock(state, workshop.clock.second.value * 1000);
  if (state.phase === null || clock === null) return <p class="soft">{words.noPhase}</p>;
  return (
    <p class="phase-clock" role="timer">
      <span>{words.clock[clock.kind](phaseName(state.phase))}</span>
      <span class="digits">
        {duration(clock.seconds)}
        {clock.kind === "over" ? <span class="more">{words.clockMore}</span> : null}
      </span>
    </p>
  );
}
