import { useLayoutEffect, useRef } from "preact/hooks";
import type { JSX } from "preact";
import type { Draft } from "../models/calibration_draft.ts";
import { calibration as words } from "../words.ts";
import { CalibrationChoice } from "./calibration_choice.tsx";
import "./calibration_panel.css";
import { CalibrationPoint } from "./calibration_point.tsx";
import { CalibrationResult } from "./calibration_result.tsx";
import type { StepProps } from "./calibration_step.ts";
import { Sign } from "./sign.tsx";

interface StepsProps extends Omit<StepProps, "draft"> {
  keep: () => void;
}

/** One step on the screen, with one thing to do. */
export function CalibrationSteps(props: StepsProps): JSX.Element | null {
  const { full, walk, keep } = props;
  const draft = walk.draft.value;
  const panel = useRef<HTMLElement>(null);
  const place = draft === null ? 0 : placeOf(draft);
  // Whoever works by key or by ear begins each step at its heading.
  useLayoutEffect(() => panel.current?.querySelector("h2")?.focus(), [place]);
  if (draft === null) return null;
  const step = { ...props, draft };
  return (
    <section class="panel calibration walk" aria-label={words.title} ref={panel}>
      <h1 class="walk-of">{words.of(full.name)}</h1>
      <p class="soft">{words.step(place + 1, draft.points.length + 2)}</p>
      <StepScreen key={place} step={step} keep={keep} />
      <p class="refused" role="alert">
        {walk.refused.value === null
          ? null
          : <><Sign name="medium" /> {sentence(walk.refused.value)}</>}
      </p>
      <div class="leave">
        {draft.step.at === "choose"
          ? null
          : <button type="button" onClick={() => walk.back()}>{words.back}</button>}
        <button type="button" onClick={() => walk.discard()}>{words.discard}</button>
      </div>
    </section>
  );
}

function StepScreen({ step, keep }: { step: StepProps; keep: () => void }): JSX.Element | null {
  const { draft } = step;
  if (draft.step.at === "choose") return <CalibrationChoice {...step} />;
  if (draft.step.at === "result") return <CalibrationResult {...step} keep={keep} />;
  const point = draft.points[draft.step.index];
  if (point === undefined) return null;
  return <CalibrationPoint {...step} point={point} index={draft.step.index} />;
}

function sentence(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

function placeOf({ step, points }: Draft): number {
  if (step.at === "choose") return 0;
  return step.at === "point" ? step.index + 1 : points.length + 1;
}
