import type { JSX } from "preact";
import type { Choice } from "../models/choice.ts";

/** A yes or no with its label, large enough for an elbow. */
export function ChoiceBox({ choice, label }: { choice: Choice; label: string }): JSX.Element {
  return (
    <label class="choice-box">
      <input
        type="checkbox" checked={choice.on.value}
        onChange={(event) => choice.on.value = event.currentTarget.checked}
      />
      {label}
    </label>
  );
}
