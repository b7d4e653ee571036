import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { PourDayModel } from "../models/pour_day.ts";
import type { DraftLot, PourDayDraft } from "../models/pour_day_draft.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import { pourDays as words } from "../words.ts";
import { Counter } from "./counter.tsx";
import { Sign } from "./sign.tsx";

interface LotsProps {
  workshop: WorkshopModel;
  model: PourDayModel;
  draft: PourDayDraft;
}

/** The lots of the day in the order in which they are made. */
export function PourDayLots({ model, draft }: LotsProps): JSX.Element {
  const lots = draft.lots.value;
  return (
    <section class="panel" aria-label={words.order}>
      <h2>{words.order}</h2>
      {lots.length === 0 ? <p>{words.noLots}</p> : null}
      <ol class="day-lots">
        {lots.map((lot, place) => (
          <li key={lot.key}>
            <Lot model={model} draft={draft} lot={lot} place={place} last={lots.length - 1} />
          </li>
        ))}
      </ol>
      <Adding model={model} draft={draft} />
    </section>
  );
}

interface LotProps {
  model: PourDayModel;
  draft: PourDayDraft;
  lot: DraftLot;
  place: number;
  last: number;
}

function Lot({ model, draft, lot, place, last }: LotProps): JSX.Element {
  const state = model.shown.value?.lots[place]?.state ?? "planned";
  return (
    <>
      <p class="day-lot-name">
        <strong>{lot.recipe}</strong>
        {lot.lot === null
          ? <span class="soft">{words.state[state]}</span>
          : <a href={links.lot(lot.lot)}>{lot.lot}, {words.state[state]}</a>}
      </p>
      <Counter vessels={lot.vessels} count={(vessels) => draft.count(lot.key, vessels)} />
      <div class="day-lot-moves">
        <button
          type="button" disabled={place === 0} aria-label={words.earlier(lot.recipe)}
          onClick={() => draft.move(lot.key, -1)}
        >
          <Sign name="up" />
        </button>
        <button
          type="button" disabled={place === last} aria-label={words.later(lot.recipe)}
          onClick={() => draft.move(lot.key, 1)}
        >
          <Sign name="down" />
        </button>
        <button
          type="button" disabled={lot.lot !== null} aria-label={words.remove(lot.recipe)}
          onClick={() => draft.remove(lot.key)}
        >
          <Sign name="cut" />
        </button>
      </div>
    </>
  );
}

function Adding({ model, draft }: Pick<LotProps, "model" | "draft">): JSX.Element {
  const recipes = model.recipes.value;
  const [chosen, choose] = useState<string | null>(null);
  const recipe = chosen ?? recipes[0]?.name;
  if (recipe === undefined) return <p>{words.noRecipes}</p>;
  return (
    <div class="day-adding">
      <label>
        {words.recipe}
        <select value={recipe} onChange={(event) => choose(event.currentTarget.value)}>
          {recipes.map(({ name }) => <option key={name} value={name}>{name}</option>)}
        </select>
      </label>
      <button type="button" onClick={() => draft.add(recipe)}>{words.add}</button>
    </div>
  );
}
