import type { JSX } from "preact";
import { CHOICES, toolOf } from "../models/calibration_draft.ts";
import type { Boiling } from "../models/calibration_draft.ts";
import { calibration as words } from "../words.ts";
import type { StepProps } from "./calibration_step.ts";

/** What the instrument is to be held against. */
export function CalibrationChoice({ full, walk, draft }: StepProps): JSX.Element {
  const tool = toolOf(full.role);
  const submit = (event: Event): void => {
    event.preventDefault();
    if (walk.canGoOn()) void walk.goOn();
  };
  return (
    <form noValidate onSubmit={submit}>
      <h2 tabIndex={-1}>{tool === "scale" ? words.chooseScale : words.choose}</h2>
      <p>{tool === "scale" ? words.scaleHint : words.chooseHint}</p>
      {tool === "scale" ? null : (
        <div class="choices" role="group" aria-label={words.choose}>
          {CHOICES[tool].map((source) => (
            <label key={source} class="choice">
              <input
                type="checkbox" checked={draft.points.some((each) => each.source === source)}
                onChange={(event) => walk.choose(source, event.currentTarget.checked)}
              />
              <span>
                <strong>{words.sources[source]}</strong>
                <span class="soft">{words.sourceHints[source]}</span>
              </span>
            </label>
          ))}
        </div>
      )}
      {draft.points.some(({ source }) => source === "boiling")
        ? <BoilingForm boiling={draft.boiling} write={(boiling) => walk.boil(boiling)} />
        : null}
      <button type="submit" class="main" disabled={!walk.canGoOn()}>{words.next}</button>
    </form>
  );
}

interface BoilingProps {
  boiling: Boiling;
  write: (boiling: Boiling) => void;
}

/** Where the water boils: the higher, the cooler. */
function BoilingForm({ boiling, write }: BoilingProps): JSX.Element {
  return (
    <fieldset class="boiling">
      <legend>{words.by}</legend>
      {(["altitude", "pressure"] as const).map((by) => (
        <label key={by} class="choice">
          <input
            type="radio" name="boiling-by" checked={boiling.by === by}
            onChange={() => write({ by, text: "" })}
          />
          <span>{words[by]}</span>
        </label>
      ))}
      <label class="field">
        {words.number[boiling.by]}
        <input
          inputMode="decimal" autoComplete="off" value={boiling.text}
          onInput={(event) => write({ ...boiling, text: event.currentTarget.value })}
        />
      </label>
      <p class="soft">{words.byHint[boiling.by]}</p>
    </fieldset>
  );
}
