import type { JSX } from "preact";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import { YES } from "../models/recipe_form.ts";
import { choices, editor as words } from "../words.ts";
import type { FieldWords } from "../words/english/recipes.ts";
import { Sign } from "./sign.tsx";

/** One value of the form: where it stands, what it is, and how it is changed. */
export interface FieldProps {
  model: RecipeEditorModel;
  id: string;
  what: FieldWords;
  value: string;
  write: (text: string) => void;
}

interface Said {
  text: string;
  /** Said as wrong; what is only missing is not, before somebody asks to keep it. */
  wrong: boolean;
}

function saidOf({ model, id, what }: FieldProps): Said | null {
  const problem = model.problems.value.get(id);
  if (problem === undefined) return null;
  if (!problem.missing) return { text: problem.message, wrong: true };
  if (model.attempted.value) return { text: words.asked(what.label), wrong: true };
  return { text: words.needed, wrong: false };
}

/** What stands below a field, and how the field refers to it. */
function describing(props: FieldProps): { said: Said | null; ids: string; below: JSX.Element } {
  const { id, what } = props;
  const said = saidOf(props);
  const ids = [what.hint === undefined ? "" : `${id}-hint`, said === null ? "" : `${id}-said`];
  const below = (
    <>
      {what.hint === undefined ? null : <span class="soft" id={`${id}-hint`}>{what.hint}</span>}
      {said === null ? null : (
        <span class={said.wrong ? "wrong" : "needed soft"} id={`${id}-said`}>
          {said.wrong ? <Sign name="medium" /> : null}{said.text}
        </span>
      )}
    </>
  );
  return { said, ids: ids.join(" ").trim(), below };
}

/** A line of text. */
export function TextField(props: FieldProps): JSX.Element {
  const { id, what, value, write } = props;
  const { said, ids, below } = describing(props);
  return (
    <div class="recipe-field">
      <label for={id}>{what.label}</label>
      <input
        id={id} type="text" autoComplete="off" spellcheck={false} value={value}
        aria-invalid={said?.wrong === true} aria-describedby={ids === "" ? undefined : ids}
        onInput={(event) => write(event.currentTarget.value)}
      />
      {below}
    </div>
  );
}

/** One of a few values; the empty one is as usual. */
export function ChoiceField(props: FieldProps & { among: readonly string[] }): JSX.Element {
  const { id, what, value, write, among } = props;
  const { said, ids, below } = describing(props);
  return (
    <div class="recipe-field">
      <label for={id}>{what.label}</label>
      <select
        id={id} value={value} aria-invalid={said?.wrong === true}
        aria-describedby={ids === "" ? undefined : ids}
        onChange={(event) => write(event.currentTarget.value)}
      >
        <option value="">–</option>
        {among.map((each) => <option key={each} value={each}>{choices[each] ?? each}</option>)}
      </select>
      {below}
    </div>
  );
}

/** Yes or no. */
export function TickField(props: FieldProps): JSX.Element {
  const { id, what, value, write } = props;
  const { said, ids, below } = describing(props);
  return (
    <div class="recipe-field tick">
      <label for={id}>
        <input
          id={id} type="checkbox" checked={value === YES} aria-invalid={said?.wrong === true}
          aria-describedby={ids === "" ? undefined : ids}
          onChange={(event) => write(event.currentTarget.checked ? YES : "")}
        />
        {what.label}
      </label>
      {below}
    </div>
  );
}

/** A window of temperatures: its two ends, and what is said of both. */
export function WindowField(props: Omit<FieldProps, "value" | "write">): JSX.Element {
  const { model, id, what } = props;
  const { fields } = model.form.value;
  const { said, ids, below } = describing({ ...props, value: "", write: () => undefined });
  const ends = [words.low(what.label), words.high(what.label)];
  return (
    <fieldset class="recipe-field window" id={id} tabIndex={-1}>
      <legend>{what.label}</legend>
      {ends.map((label, end) => {
        const key = `${id}.${end}`;
        const problem = model.problems.value.get(key);
        return (
          <div key={key}>
            <input
              id={key} type="text" autoComplete="off" spellcheck={false} aria-label={label}
              value={fields[key] ?? ""}
              aria-invalid={said?.wrong === true || problem !== undefined}
              aria-describedby={problem === undefined ? ids || undefined : `${key}-said ${ids}`.trim()}
              onInput={(event) => model.write(key, event.currentTarget.value)}
            />
            {problem === undefined ? null : (
              <span class="wrong" id={`${key}-said`}><Sign name="medium" />{problem.message}</span>
            )}
          </div>
        );
      })}
      {below}
    </fieldset>
  );
}
