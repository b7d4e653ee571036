import { useEffect, useMemo, useState } from "preact/hooks";
import type { JSX } from "preact";
import { EXAMPLE } from "../models/example_recipe.ts";
import { RecipeEditorModel } from "../models/recipe_editor.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Router } from "../router.ts";
import type { RecipeDocument } from "../types.ts";
import { editor as words, page, recipes } from "../words.ts";
import { Caution } from "./caution.tsx";
import { OvertakenPanel, PutAway, RecipeOutlook, RecipeSheet } from "./recipe_aside.tsx";
import "./recipe_editor_page.css";
import { RecipeGroups } from "./recipe_groups.tsx";
import { KEPT, ExampleCheck, KeepButton, useKeeping } from "./recipe_keeping.tsx";
import { RecipeVersions } from "./recipe_versions.tsx";
import { Sign } from "./sign.tsx";

interface PlaceProps {
  workshop: WorkshopModel;
  router: Router;
}

/** The editor of a recipe that is there. */
export function RecipeEditorPage(
  props: PlaceProps & { name: string; justKept: boolean },
): JSX.Element {
  const { name, justKept } = props;
  const shelf = `recipe.${name}`;
  return (
    <Editor {...props} beginning={{ name, document: {}, shelf }} isExample={false} justKept={justKept} />
  );
}

/** The editor of a new recipe: empty, a copy of another, or the example. */
export function NewRecipePage(
  props: PlaceProps & { copy: string | null; example: boolean },
): JSX.Element {
  const { workshop, copy, example } = props;
  const original = useOriginal(workshop, copy);
  if (original === null) return <p class="panel">{page.loading}</p>;
  const document = example ? EXAMPLE : original;
  const shelf = example ? "example" : copy === null ? "new" : `copy.${copy}`;
  return (
    <Editor {...props} beginning={{ name: null, document, shelf }} isExample={example} justKept={false} />
  );
}

/** The recipe that is copied, under a name of its own; null until it came. */
function useOriginal(workshop: WorkshopModel, copy: string | null): RecipeDocument | null {
  const [original, setOriginal] = useState<RecipeDocument | null>(copy === null ? {} : null);
  useEffect(() => {
    if (copy === null) return;
    void workshop.complaints.watch(async () => {
      const { recipe } = await workshop.outside.service.recipe(copy);
      setOriginal({ ...recipe, name: recipes.nameOfCopy(copy) });
    });
  }, [workshop, copy]);
  return original;
}

interface EditorProps extends PlaceProps {
  beginning: { name: string | null; document: RecipeDocument; shelf: string };
  isExample: boolean;
  justKept: boolean;
}

function Editor(props: EditorProps): JSX.Element {
  const { workshop, router, isExample, justKept } = props;
  const model = useEditor(props);
  const keeping = useKeeping(model, router, isExample);
  if (model.missing.value) return <NoSuchRecipe name={model.name ?? ""} />;
  if (model.name !== null && model.kept.value === null) return <p class="panel">{page.loading}</p>;
  return (
    <>
      <EditorHead workshop={workshop} model={model} isExample={isExample} justKept={justKept} />
      <OvertakenPanel workshop={workshop} model={model} kept={keeping.kept} />
      <form
        class="recipe-editor" noValidate aria-label={words.form}
        onSubmit={(event) => {
          event.preventDefault();
          keeping.keep();
        }}
      >
        <div class="recipe-form">
          <p class="soft">{words.units}</p>
          <RecipeGroups model={model} />
        </div>
        <div class="recipe-aside">
          <RecipeSheet workshop={workshop} model={model} />
          <div class="panel keeping">
            <RecipeOutlook workshop={workshop} model={model} />
            {isExample ? <ExampleCheck model={model} keeping={keeping} /> : null}
            <KeepButton model={model} keeping={keeping} isExample={isExample} />
            <PutAway model={model} />
          </div>
        </div>
      </form>
      <RecipeVersions workshop={workshop} model={model} />
      <Caution />
    </>
  );
}

function useEditor({ workshop, router, beginning }: EditorProps): RecipeEditorModel {
  const model = useMemo(() => {
    const { complaints, outside: { service, keep } } = workshop;
    return new RecipeEditorModel(beginning, service, complaints, keep);
  }, [workshop, beginning.shelf]);
  const connection = workshop.connection.value;
  useEffect(() => void model.load(), [model, connection]);
  useEffect(() => {
    const unguard = router.guard(model.dirty, words.leave);
    return () => {
      unguard();
      model.close();
    };
  }, [model, router]);
  return model;
}

interface HeadProps {
  workshop: WorkshopModel;
  model: RecipeEditorModel;
  isExample: boolean;
  justKept: boolean;
}

function EditorHead({ workshop, model, isExample, justKept }: HeadProps): JSX.Element {
  const kept = model.kept.value;
  const wall = workshop.wall.value;
  return (
    <header class="recipe-head">
      <h1>{model.name ?? words.newTitle}</h1>
      {kept === null ? null : (
        <p class="soft">
          {words.version(kept.version, wall.day(kept.kept_at), wall.minute(kept.kept_at))}
        </p>
      )}
      {kept === null || kept.file === null ? null : <p>{words.file(kept.file)}</p>}
      {kept?.retired === true ? <p class="notice"><Sign name="low" /><span>{words.retired}</span></p> : null}
      {isExample ? <p class="notice"><Sign name="low" /><span>{words.example}</span></p> : null}
      {!model.restored.value ? null : (
        <p class="notice">
          <Sign name="low" /><span>{words.restored}</span>
          <button type="button" onClick={() => model.discard()}>{words.discard}</button>
        </p>
      )}
      <div role="status" id={KEPT} tabIndex={-1}>
        {!justKept || kept === null || model.dirty.value ? null : (
          <p class="notice">
            <Sign name="check" /><span>{words.kept(kept.version)}</span>
            <a class="button first" href={links.bench(workshop.info.value?.benches[0] ?? "")}>
              {words.toBench}
            </a>
          </p>
        )}
      </div>
    </header>
  );
}

function NoSuchRecipe({ name }: { name: string }): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.missing(name)}</h1>
      <p><a href={links.recipes}>{words.toRecipes}</a></p>
    </div>
  );
}
