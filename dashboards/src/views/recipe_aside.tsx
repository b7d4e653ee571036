import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { editor as words } from "../words.ts";
import { BatchSheetTable } from "./batch_sheet_table.tsx";
import { ChangeList } from "./change_list.tsx";
import { Counter } from "./counter.tsx";
import { OVERTAKEN } from "./recipe_keeping.tsx";
import { Sign } from "./sign.tsx";

interface AsideProps {
  workshop: WorkshopModel;
  model: RecipeEditorModel;
}

/** The batch sheet of the recipe as it is being written. */
export function RecipeSheet({ workshop, model }: AsideProps): JSX.Element {
  const sheet = model.sheet.value;
  const half = model.preview.value !== null && model.preview.value.sheet === null;
  const display = workshop.preferences.display.value;
  const grams = (value: number): string => text(mass(value, display));
  return (
    <>
      <div class="panel sheet-for">
        <Counter vessels={model.vessels.value} count={(vessels) => model.count(vessels)} />
        {sheet === null ? <p>{words.noSheet}</p> : null}
        {sheet !== null && half ? <p>{words.sheetOld}</p> : null}
      </div>
      <p role="status" class="sheet-told">
        {sheet === null || half ? "" : words.told(grams(sheet.wax), grams(sheet.fragrance))}
      </p>
      {sheet === null ? null : (
        <BatchSheetTable workshop={workshop} sheet={sheet} changed={model.changed.value} />
      )}
    </>
  );
}

/** What keeping the form would change, and what it leaves unwatched. */
export function RecipeOutlook({ workshop, model }: AsideProps): JSX.Element | null {
  const preview = model.preview.value;
  if (preview === null) return null;
  const { changes, cautions } = preview;
  return (
    <>
      {changes === null || model.renamed ? null : (
        <section aria-label={words.changes}>
          <h2>{words.changes}</h2>
          {changes.length === 0 ? <p class="soft">{words.noChanges}</p> : (
            <ChangeList workshop={workshop} lines={changes} />
          )}
        </section>
      )}
      {model.renamed && model.name !== null ? <p>{words.renamed(model.name)}</p> : null}
      {cautions.length === 0 ? null : (
        <section aria-label={words.cautions}>
          <h2>{words.cautions}</h2>
          <ul class="changes">{cautions.map((line) => <li key={line}>{line}</li>)}</ul>
        </section>
      )}
    </>
  );
}

interface OvertakenProps extends AsideProps {
  kept: (name: string | null) => void;
}

/** Somebody else was faster: nothing is overwritten before she has seen it. */
export function OvertakenPanel({ workshop, model, kept }: OvertakenProps): JSX.Element | null {
  const overtaken = model.overtaken.value;
  if (overtaken === null) return null;
  const changes = model.preview.value?.changes ?? [];
  return (
    <section
      id={OVERTAKEN} tabIndex={-1} class="panel overtaken" role="alert"
      aria-label={words.overtaken}
    >
      <h2><Sign name="medium" /> {words.overtaken}</h2>
      <p>{overtaken.sentence}</p>
      {changes.length === 0 ? null : (
        <>
          <p>{words.overtakenChanges}</p>
          <ChangeList workshop={workshop} lines={changes} />
        </>
      )}
      <div class="answers">
        <button type="button" onClick={() => model.takeTheirs()}>{words.takeTheirs}</button>
        <button type="button" onClick={() => void model.keepOverTheirs().then(kept)}>
          {words.keepMine}
        </button>
      </div>
    </section>
  );
}

/** Puts the recipe away, at the second press. */
export function PutAway({ model }: { model: RecipeEditorModel }): JSX.Element | null {
  const [asked, ask] = useState(false);
  const kept = model.kept.value;
  if (kept === null || kept.retired) return null;
  const press = (): void => {
    if (asked) void model.retire();
    ask(!asked);
  };
  return (
    <button type="button" class="put-away" onClick={press}>
      {asked ? words.putAwaySure : words.putAway}
    </button>
  );
}
