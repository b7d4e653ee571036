import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { RecipeEditorModel } from "../models/recipe_editor.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { VersionOfRecipe } from "../types.ts";
import { versions as words } from "../words.ts";
import { ChangeList } from "./change_list.tsx";

interface VersionsProps {
  workshop: WorkshopModel;
  model: RecipeEditorModel;
}

/** Every version of a recipe, with what each changed; an older one can be taken again. */
export function RecipeVersions({ workshop, model }: VersionsProps): JSX.Element | null {
  const [taken, setTaken] = useState<number | null>(null);
  const versions = model.versions.value;
  const newest = versions[0]?.number;
  if (newest === undefined) return null;
  const take = (version: VersionOfRecipe): void => {
    model.takeAgain(version);
    setTaken(version.number);
  };
  return (
    <section class="panel recipe-versions" aria-label={words.title}>
      <h2>{words.title}</h2>
      <p role="status">{taken === null || !model.dirty.value ? "" : words.taken(taken)}</p>
      <ol>
        {versions.map((version) => (
          <li key={version.number}>
            <VersionHead workshop={workshop} version={version} stands={version.number === newest} />
            <Changes workshop={workshop} version={version} />
            {version.number === newest ? null : (
              <button type="button" onClick={() => take(version)}>
                {words.takeAgain(version.number)}
              </button>
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

interface HeadProps {
  workshop: WorkshopModel;
  version: VersionOfRecipe;
  stands: boolean;
}

function VersionHead({ workshop, version, stands }: HeadProps): JSX.Element {
  const wall = workshop.wall.value;
  return (
    <p>
      <strong>{words.number(version.number)}</strong>{stands ? ` (${words.now})` : ""}
      {" · "}{words.kept(wall.day(version.at), wall.minute(version.at))}
      {version.file === null ? "" : ` · ${words.fromFile(version.file)}`}
    </p>
  );
}

function Changes({ workshop, version }: Omit<HeadProps, "stands">): JSX.Element {
  if (version.number === 1) return <p class="soft">{words.first}</p>;
  if (version.changes.length === 0) return <p class="soft">{words.same}</p>;
  return <ChangeList workshop={workshop} lines={version.changes} />;
}
