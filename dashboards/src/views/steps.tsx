import type { JSX } from "preact";
import type { BenchState, StepState } from "../types.ts";
import { bench as words, phaseName } from "../words.ts";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";
import "./steps.css";

const SIGNS: Record<StepState, SignName | null> = {
  done: "check", now: null, next: null, ahead: null, skipped: "medium",
};

/** What was, is and comes, as a calm strip. */
export function Steps({ steps }: { steps: BenchState["steps"] }): JSX.Element {
  return (
    <ol class="steps" aria-label={words.steps}>
      {steps.map(({ phase, state }) => (
        <li key={phase} class={state} aria-current={state === "now" ? "step" : undefined}>
          <StepSign state={state} />
          {phaseName(phase)}
          {state === "ahead" ? null : <small>{words.step[state]}</small>}
        </li>
      ))}
    </ol>
  );
}

function StepSign({ state }: { state: StepState }): JSX.Element | null {
  const sign = SIGNS[state];
  return sign === null ? null : <Sign name={sign} />;
}
