import type { JSX } from "preact";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import { ROW_KEYS } from "../models/recipe_form.ts";
import type { Row, RowKind } from "../models/recipe_form.ts";
import { editor as words, rowFields, rowWords } from "../words.ts";
import { ChoiceField, TextField, TickField } from "./recipe_field.tsx";
import { Sign } from "./sign.tsx";

const CHOICES: Readonly<Record<string, readonly string[]>> = {
  of: ["pitcher", "pot", "room"], priority: ["high", "medium", "low"],
};

interface RowsProps {
  model: RecipeEditorModel;
  kind: RowKind;
}

/** A list that a maker may add to: phases and limits of her own, or how alarms behave. */
export function RecipeRows({ model, kind }: RowsProps): JSX.Element {
  const { title, add } = rowWords[kind];
  return (
    <section aria-label={title}>
      <h2>{title}</h2>
      {model.form.value.rows[kind].map((row, place) => (
        <RecipeRow key={place} model={model} kind={kind} row={row} place={place} />
      ))}
      <button type="button" onClick={() => model.addRow(kind)}>{add}</button>
    </section>
  );
}

interface RowProps extends RowsProps {
  row: Row;
  place: number;
}

function RecipeRow({ model, kind, row, place }: RowProps): JSX.Element {
  const whole = model.problems.value.get(`${kind}.${place}`);
  const { one } = rowWords[kind];
  return (
    <fieldset class="recipe-row" id={`${kind}.${place}`} tabIndex={-1}>
      <legend>{one} {place + 1}</legend>
      {whole === undefined ? null : (
        <p class="wrong"><Sign name="medium" />{whole.message}</p>
      )}
      {ROW_KEYS[kind].map((key) => {
        const shared = {
          model, id: `${kind}.${place}.${key}`, what: rowFields[key] ?? { label: key },
          value: row[key] ?? "",
          write: (text: string) => model.writeRow(kind, place, key, text),
        };
        const among = CHOICES[key];
        if (key === "latched") return <TickField key={key} {...shared} />;
        if (among !== undefined) return <ChoiceField key={key} {...shared} among={among} />;
        return <TextField key={key} {...shared} />;
      })}
      <button
        type="button" aria-label={words.removeRow(one, place + 1)}
        onClick={() => model.removeRow(kind, place)}
      >
        {words.remove}
      </button>
    </fieldset>
  );
}
