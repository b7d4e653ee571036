import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { BenchModel } from "../models/bench.ts";
import { free, planned } from "../models/order.ts";
import type { Choice, Draft } from "../models/order.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { PourDay, RecipeEntry } from "../types.ts";
import { opening as words } from "../words.ts";
import { Counter } from "./counter.tsx";
import "./open_lot_form.css";

interface OpenLotProps {
  workshop: WorkshopModel;
  bench: BenchModel;
}

/** Opens a lot at this bench: of the pour day, or which recipe and how many vessels. */
export function OpenLotForm({ workshop, bench }: OpenLotProps): JSX.Element {
  const { recipes, days } = useOffer(workshop) ?? { recipes: null, days: [] };
  return (
    <section class="panel open-lot" aria-labelledby="open-lot-title">
      <h2 id="open-lot-title">{words.title} · {bench.name}</h2>
      {recipes !== null && recipes.length === 0 ? (
        <p>{words.noRecipes} <a href={links.newRecipe}>{words.newRecipe}</a></p>
      ) : null}
      {recipes === null || recipes.length === 0 ? null : (
        <OrderForm
          key={`${days[0]?.id} ${recipes[0]?.name}`}
          workshop={workshop} bench={bench} recipes={recipes} days={days}
        />
      )}
      <LastLot workshop={workshop} bench={bench.name} />
    </section>
  );
}

interface Offer {
  recipes: RecipeEntry[];
  days: PourDay[];
}

/** What can be opened, fetched again after each break; null until it came. */
function useOffer(workshop: WorkshopModel): Offer | null {
  const [offer, setOffer] = useState<Offer | null>(null);
  const connection = workshop.connection.value;
  useEffect(() => {
    const { complaints, outside: { service } } = workshop;
    void complaints.watch(async () => {
      const [recipes, days] = await Promise.all([service.recipes(), service.pourDays()]);
      setOffer({ recipes: recipes.filter((each) => !each.retired), days });
    });
  }, [workshop, connection]);
  return offer;
}

function OrderForm(props: OpenLotProps & Offer): JSX.Element {
  const { workshop, recipes, days, bench } = props;
  const choices = planned(days);
  const [chosen, setChosen] = useState(choices[0]?.key ?? "");
  const [draft, write] = useState<Draft>(choices[0]?.draft ?? free(recipes));
  const choose = (key: string): void => {
    setChosen(key);
    write(choices.find((each) => each.key === key)?.draft ?? free(recipes));
  };
  const submit = (event: Event): void => {
    event.preventDefault();
    void bench.openLot({ ...draft, bench: bench.name });
  };
  const onDay = draft.pour_day !== null;
  return (
    <form onSubmit={submit}>
      {choices.length === 0 ? null : (
        <PlannedLots choices={choices} chosen={chosen} choose={choose} />
      )}
      {onDay ? null : (
        <label>
          {words.recipe}
          <select
            value={draft.recipe}
            onChange={(event) => write({ ...draft, recipe: event.currentTarget.value })}
          >
            {recipes.map(({ name }) => <option key={name} value={name}>{name}</option>)}
          </select>
        </label>
      )}
      <Counter vessels={draft.vessels} count={(vessels) => write({ ...draft, vessels })} />
      <button type="submit" class="open" disabled={bench.busy.value}>{words.open}</button>
      {!onDay ? null : <p class="pot">{workshop.preferences.told(days[0]?.pot.message ?? "")}</p>}
    </form>
  );
}

interface PlannedProps {
  choices: Choice[];
  chosen: string;
  choose: (key: string) => void;
}

/** Which lot of the pour day, or none of it. */
function PlannedLots({ choices, chosen, choose }: PlannedProps): JSX.Element {
  return (
    <label class="of-day">
      {words.pourDay}
      <select value={chosen} onChange={(event) => choose(event.currentTarget.value)}>
        {choices.map(({ key, draft: { recipe, vessels } }) => (
          <option key={key} value={key}>{words.planned(recipe, vessels)}</option>
        ))}
        <option value="">{words.notPlanned}</option>
      </select>
    </label>
  );
}

function LastLot(props: { workshop: WorkshopModel; bench: string }): JSX.Element | null {
  const entries = props.workshop.lots.entries.value ?? [];
  const last = entries.find((entry) => entry.bench === props.bench);
  if (last === undefined) return null;
  return <p><a href={links.lot(last.id)}>{words.last(last.recipe)}</a></p>;
}
