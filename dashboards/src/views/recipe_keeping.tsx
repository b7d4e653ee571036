import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { SAFETY_FIELDS } from "../models/example_recipe.ts";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import { links } from "../places.ts";
import type { Router } from "../router.ts";
import { editor as words, fields } from "../words.ts";
import { Sign } from "./sign.tsx";

const BOX = "checked-against-sheets";
/** What says that the recipe was kept, far above the button on a phone. */
export const KEPT = "recipe-kept";
/** What says that somebody else was faster. */
export const OVERTAKEN = "recipe-overtaken";
const WRONG = '.recipe-form [aria-invalid="true"], .recipe-form [id]:has(> .wrong)';

/** How the form is kept, and what has to come first. */
export interface Keeping {
  checked: boolean;
  check: (checked: boolean) => void;
  /** The box has to be ticked first. */
  unchecked: boolean;
  keep: () => void;
  /** Goes to what was kept; null leads to what is in the way. */
  kept: (name: string | null) => void;
}

/** Keeps the form; for the example only once the maker says that she has checked its heat. */
export function useKeeping(
  model: RecipeEditorModel, router: Router, isExample: boolean,
): Keeping {
  const [checked, check] = useState(false);
  const [asked, ask] = useState(false);
  const kept = (name: string | null): void => {
    if (name === null) requestAnimationFrame(showWrong);
    else if (name === model.name) {
      router.refine({ kept: "" });
      requestAnimationFrame(() => document.getElementById(KEPT)?.focus());
    } else router.go(links.keptRecipe(name));
  };
  const keep = (): void => {
    ask(true);
    if (isExample && !checked) document.getElementById(BOX)?.focus();
    else void model.keep().then(kept);
  };
  return { checked, check, unchecked: isExample && asked && !checked, keep, kept };
}

/** Puts the focus on what somebody else kept, else on the first field that is wrong. */
function showWrong(): void {
  const field = document.getElementById(OVERTAKEN) ?? document.querySelector<HTMLElement>(WRONG);
  const closed = field?.closest("details");
  if (closed) closed.open = true;
  field?.focus();
}

interface KeepingProps {
  model: RecipeEditorModel;
  keeping: Keeping;
}

/** The values on which safety rests, to be confirmed by the maker herself. */
export function ExampleCheck({ model, keeping }: KeepingProps): JSX.Element {
  const values = model.form.value.fields;
  return (
    <div class="example-check">
      <dl>
        {SAFETY_FIELDS.map((key) => (
          <div key={key}><dt>{fields[key]?.label ?? key}</dt><dd>{values[key] ?? ""}</dd></div>
        ))}
      </dl>
      <label for={BOX}>
        <input
          id={BOX} type="checkbox" checked={keeping.checked} aria-invalid={keeping.unchecked}
          aria-describedby={keeping.unchecked ? `${BOX}-said` : undefined}
          onChange={(event) => keeping.check(event.currentTarget.checked)}
        />
        {words.checked}
      </label>
      {keeping.unchecked
        ? <p class="wrong" id={`${BOX}-said`}><Sign name="medium" />{words.checkFirst}</p>
        : null}
    </div>
  );
}

/** Keeps the form, and says what is in the way. */
export function KeepButton(props: KeepingProps & { isExample: boolean }): JSX.Element {
  const { model, isExample } = props;
  const isNew = model.name === null;
  const nothing = !isNew && !model.dirty.value && model.kept.value?.retired !== true;
  const wrong = model.attempted.value ? model.problems.value.size : 0;
  const name = isExample ? words.useExample : isNew ? words.keepNew : words.keep;
  return (
    <>
      <p role="status" class={wrong > 0 ? "wrong" : ""}>
        {wrong > 0 ? <><Sign name="medium" />{words.wrong(wrong)}</> : null}
      </p>
      <button type="submit" class="keep" disabled={nothing || model.busy.value}>{name}</button>
    </>
  );
}
