import type { JSX } from "preact";
import type { Latest } from "../models/instruments.ts";
import { mass, text } from "../models/quantities.ts";
import { progress } from "../models/verdicts.ts";
import type { Progress } from "../models/verdicts.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Display, ScaleTask } from "../types.ts";
import { reading, scale as words } from "../words.ts";
import { Chip, Figure, ReadingChip } from "./figure.tsx";
import { Gauge } from "./gauge.tsx";

/** The gauge goes this far beyond the target. */
const BEYOND = 1.15;

interface ScaleProps {
  workshop: WorkshopModel;
  bench: string;
  task: ScaleTask | null;
  within?: string;
}

/** The grams of what is being weighed, and what is missing to the target. */
export function ScaleFigure({ workshop, bench, task, within }: ScaleProps): JSX.Element {
  const shownTask = task ?? idleTask(workshop, bench);
  const display = workshop.preferences.display.value;
  const latest = shownTask === null ? null : workshop.instruments.latest(shownTask.channel);
  const usable = latest !== null && latest.quality !== "bad";
  const grams = latest === null ? 0 : latest.value - (shownTask?.base ?? 0);
  return (
    <Figure
      name="scale" title={shownTask?.what ?? words.title} within={within}
      aside={shownTask === null ? words.none : targetText(shownTask, display)}
      shown={usable ? mass(grams, display) : null}
      doubtful={usable && workshop.instruments.isStale(latest)}
      idle={grams < 0 && shownTask !== null && progress(grams, shownTask).kind === "free"}
    >
      {shownTask === null
        ? null
        : <Verdict workshop={workshop} latest={latest} grams={grams} task={shownTask} />}
    </Figure>
  );
}

/** With nothing to weigh, the bench's scale shows what lies on it. */
function idleTask(workshop: WorkshopModel, bench: string): ScaleTask | null {
  const scale = workshop.instruments.at(bench).find(({ role }) => role === "scale");
  if (scale === undefined) return null;
  return { channel: scale.name, base: null, target: null, tolerance: null, what: null };
}

interface VerdictProps {
  workshop: WorkshopModel;
  latest: Latest | null;
  grams: number;
  task: ScaleTask;
}

function Verdict({ workshop, latest, grams, task }: VerdictProps): JSX.Element {
  if (latest === null) return <Chip kind="wrong" sign="pause" text={reading.none} />;
  const fresh = latest.quality !== "bad" && !workshop.instruments.isStale(latest);
  const at = progress(grams, task);
  return (
    <>
      {fresh && at.kind !== "free" ? <TargetGauge grams={grams} task={task} /> : null}
      <div class="figure-verdict">
        {fresh ? <ProgressChip workshop={workshop} at={at} /> : null}
        {fresh && latest.quality === "in motion"
          ? <span class="soft">{reading.moving}</span>
          : null}
        <ReadingChip
          latest={latest} instruments={workshop.instruments} wall={workshop.wall.value}
        />
      </div>
    </>
  );
}

function ProgressChip(props: { workshop: WorkshopModel; at: Progress }): JSX.Element {
  const { at } = props;
  const by = (grams: number): string =>
    text(mass(grams, props.workshop.preferences.display.value));
  switch (at.kind) {
    case "free": return <span class="soft">{words.free}</span>;
    case "there": return <Chip kind="calm" sign="check" text={words.there} />;
    case "to go": return <Chip kind="off" sign="down" text={words.toGo(by(at.by))} />;
    case "over": return <Chip kind="wrong" sign="up" text={words.over(by(at.by))} />;
  }
}

function TargetGauge(props: { grams: number; task: ScaleTask }): JSX.Element | null {
  const { target, tolerance } = props.task;
  if (target === null || target <= 0) return null;
  const slack = tolerance ?? 0;
  return (
    <Gauge
      from={0} to={Math.max(target * BEYOND, target + 4 * slack)}
      low={target - slack} high={target + slack} value={props.grams}
    />
  );
}

function targetText(task: ScaleTask, display: Display): string {
  if (task.target === null) return task.channel;
  const target = words.target(text(mass(task.target, display)));
  if (task.tolerance === null) return target;
  return `${target} ${words.tolerance(text(mass(task.tolerance, display)))}`;
}
