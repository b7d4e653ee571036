import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import { found } from "../models/recipe_search.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Router } from "../router.ts";
import type { RecipeEntry } from "../types.ts";
import { page, recipes as words } from "../words.ts";
import { Caution } from "./caution.tsx";
import "./recipes_page.css";

interface RecipesProps {
  workshop: WorkshopModel;
  router: Router;
  search: string;
}

/** Every recipe, with what became of it; each opens its editor. */
export function RecipesPage({ workshop, router, search }: RecipesProps): JSX.Element {
  const entries = useRecipes(workshop);
  const shown = found(entries ?? [], search);
  const retired = shown.filter((entry) => entry.retired);
  return (
    <>
      <div class="recipes-head">
        <h1>{words.title}</h1>
        <a class="button" href={links.newRecipe}>{words.create}</a>
        <label class="recipe-search">
          {words.search}
          <input
            type="search" autoComplete="off" value={search}
            onInput={(event) => router.refine({ q: event.currentTarget.value || null })}
          />
        </label>
      </div>
      <p role="status">{saidOf(entries, shown, search)}</p>
      <List workshop={workshop} entries={shown.filter((entry) => !entry.retired)} />
      {retired.length === 0 ? null : (
        <details>
          <summary>{words.retired(retired.length)}</summary>
          <List workshop={workshop} entries={retired} />
        </details>
      )}
      <Caution />
    </>
  );
}

/** The list of recipes, fetched again after each break; null until it came. */
export function useRecipes(workshop: WorkshopModel): RecipeEntry[] | null {
  const [entries, setEntries] = useState<RecipeEntry[] | null>(null);
  const connection = workshop.connection.value;
  useEffect(() => {
    void workshop.complaints.watch(async () => {
      setEntries(await workshop.outside.service.recipes());
    });
  }, [workshop, connection]);
  return entries;
}

function saidOf(entries: RecipeEntry[] | null, shown: RecipeEntry[], search: string): string {
  if (entries === null) return page.loading;
  if (entries.length === 0) return words.none;
  return shown.length === 0 ? words.noneFound(search) : "";
}

function List(props: { workshop: WorkshopModel; entries: RecipeEntry[] }): JSX.Element {
  return (
    <ul class="recipes">
      {props.entries.map((entry) => (
        <li key={entry.name} class="panel">
          <RecipeLine workshop={props.workshop} entry={entry} />
        </li>
      ))}
    </ul>
  );
}

function RecipeLine(props: { workshop: WorkshopModel; entry: RecipeEntry }): JSX.Element {
  const { entry, workshop } = props;
  const fill = text(mass(entry.fill, workshop.preferences.display.value));
  return (
    <>
      <a class="recipe-link" href={links.recipe(entry.name)}>{entry.name}</a>
      <span>{entry.wax} · {entry.fragrance}</span>
      <span>{words.load(String(entry.load), entry.load_of)} · {words.fill(fill)}</span>
      <span>
        {words.lots(entry.lots)}
        {entry.last_made === null
          ? null
          : <>, {words.lastMade(workshop.wall.value.day(entry.last_made))}</>}
      </span>
      <span class="soft">{words.versions(entry.version)}</span>
      <a class="button" href={links.copyOfRecipe(entry.name)} aria-label={words.copyOf(entry.name)}>
        {words.copy}
      </a>
    </>
  );
}
