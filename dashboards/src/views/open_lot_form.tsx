import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { BenchModel } from "../models/bench.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { RecipeEntry } from "../types.ts";
import { opening as words } from "../words.ts";
import { Counter } from "./counter.tsx";
import "./open_lot_form.css";

const FIRST_VESSELS = 12;

interface OpenLotProps {
  workshop: WorkshopModel;
  bench: BenchModel;
}

/** Opens a lot at this bench: which recipe, how many vessels. */
export function OpenLotForm({ workshop, bench }: OpenLotProps): JSX.Element {
  const recipes = useRecipes(workshop);
  return (
    <section class="panel open-lot" aria-labelledby="open-lot-title">
      <h2 id="open-lot-title">{words.title} · {bench.name}</h2>
      {recipes !== null && recipes.length === 0 ? <p>{words.noRecipes}</p> : null}
      {recipes === null || recipes.length === 0
        ? null
        : <OrderForm key={recipes[0]?.name} recipes={recipes} bench={bench} />}
      <LastLot workshop={workshop} bench={bench.name} />
    </section>
  );
}

/** The recipes of the service, fetched again after each break; null until they came. */
function useRecipes(workshop: WorkshopModel): RecipeEntry[] | null {
  const [recipes, setRecipes] = useState<RecipeEntry[] | null>(null);
  const connection = workshop.connection.value;
  useEffect(() => {
    const { complaints, outside } = workshop;
    void complaints.watch(async () => setRecipes(await outside.service.recipes()));
  }, [workshop, connection]);
  return recipes;
}

function OrderForm(props: { recipes: RecipeEntry[]; bench: BenchModel }): JSX.Element {
  const { recipes, bench } = props;
  const [recipe, choose] = useState(recipes[0]?.name ?? "");
  const [vessels, count] = useState(FIRST_VESSELS);
  const submit = (event: Event): void => {
    event.preventDefault();
    void bench.openLot({ recipe, vessels, bench: bench.name });
  };
  return (
    <form onSubmit={submit}>
      <label>
        {words.recipe}
        <select value={recipe} onChange={(event) => choose(event.currentTarget.value)}>
          {recipes.map(({ name }) => <option key={name} value={name}>{name}</option>)}
        </select>
      </label>
      <Counter vessels={vessels} count={count} />
      <button type="submit" class="open" disabled={bench.busy.value}>{words.open}</button>
    </form>
  );
}

function LastLot(props: { workshop: WorkshopModel; bench: string }): JSX.Element | null {
  const entries = props.workshop.lots.entries.value ?? [];
  const last = entries.find((entry) => entry.bench === props.bench);
  if (last === undefined) return null;
  return <p><a href={links.lot(last.id)}>{words.last(last.recipe)}</a></p>;
}
