import type { JSX } from "preact";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import { STEPS, WINDOWS, YES } from "../models/recipe_form.ts";
import { fields as fieldWords, groups as words } from "../words.ts";
import { ChoiceField, TextField, TickField, WindowField } from "./recipe_field.tsx";
import { RecipeRows } from "./recipe_rows.tsx";

const BASES = ["wax", "total"] as const;
const CHOICES: Readonly<Record<string, readonly string[]>> = {
  "fragrance.load_of": BASES, "wax.most_fragrance_of": BASES,
};

/** The fields of each group as the pour goes; those behind the bar are seldom needed. */
const GROUPS: readonly { title: string; keys: readonly string[] }[] = [
  { title: words.vessel, keys: ["vessel.fill", "vessel.tolerance", "vessel.volume"] },
  {
    title: words.wax,
    keys: [
      "wax.name", "wax.never_above", "wax.most_fragrance", "wax.most_fragrance_of", "wax.tolerance",
      "wax.density",
    ],
  },
  {
    title: words.fragrance,
    keys: [
      "fragrance.name", "fragrance.load", "fragrance.load_of", "fragrance.flash_point",
      "fragrance.add_between", "fragrance.ifra_limit", "fragrance.tolerance",
    ],
  },
  { title: words.stir, keys: ["stir", "stir.at_least"] },
  { title: words.pour, keys: ["pour", "pour.between", "prepare"] },
  { title: words.after, keys: ["set", "set.at_least", "trim", "cure", "cure.at_least"] },
  { title: words.pitcher, keys: ["pitcher.capacity", "pitcher.residue"] },
];

/** Every field of a recipe, in groups. */
export function RecipeGroups({ model }: { model: RecipeEditorModel }): JSX.Element {
  const { rows } = model.form.value;
  const more = rows.phase.length + rows.limit.length + rows.alarm.length > 0;
  return (
    <>
      <RecipeField model={model} id="name" />
      {GROUPS.map(({ title, keys }) => (
        <fieldset key={title} class="panel recipe-group">
          <legend>{title}</legend>
          {keys.map((key) => <RecipeField key={key} model={model} id={key} />)}
        </fieldset>
      ))}
      <details class="panel recipe-more" open={more}>
        <summary>{words.more}</summary>
        <RecipeRows model={model} kind="phase" />
        <RecipeRows model={model} kind="limit" />
        <RecipeRows model={model} kind="alarm" />
      </details>
    </>
  );
}

function RecipeField({ model, id }: { model: RecipeEditorModel; id: string }): JSX.Element | null {
  const { fields } = model.form.value;
  const [section = "", inner] = id.split(".");
  if (STEPS.has(section) && inner !== undefined && fields[section] !== YES) return null;
  const what = fieldWords[id] ?? { label: id };
  const shared = {
    model, id, what, value: fields[id] ?? "", write: (text: string) => model.write(id, text),
  };
  if (STEPS.has(id)) return <TickField {...shared} />;
  if (WINDOWS.has(id)) return <WindowField model={model} id={id} what={what} />;
  const among = CHOICES[id];
  return among === undefined ? <TextField {...shared} /> : <ChoiceField {...shared} among={among} />;
}
