import { useId, useState } from "preact/hooks";
import type { JSX } from "preact";
import { offered } from "../models/beside.ts";
import type { BesideModel } from "../models/beside.ts";
import { besideRows } from "../models/beside_rows.ts";
import type { LotScreen } from "../models/lot_screen.ts";
import { links } from "../places.ts";
import type { Beside, Lot } from "../types.ts";
import { beside as words } from "../words.ts";
import "./beside_panel.css";
import type { LotPanelProps } from "./lot_panel.ts";

/** Other lots beside this one: which, and how they differ; the curve above draws them. */
export function BesidePanel({ screen, lot }: LotPanelProps): JSX.Element {
  const { chosen, laid } = screen.beside;
  return (
    <section class="panel wide beside" aria-label={words.title}>
      <h2>{words.title}</h2>
      <p class="soft">{words.what}</p>
      {chosen.value.map((id) => (
        <Chosen key={id} id={id} screen={screen} other={laid.value.get(id) ?? null} />
      ))}
      {screen.beside.full ? <p>{words.full}</p> : <Picker screen={screen} lot={lot} />}
    </section>
  );
}

interface ChosenProps {
  id: string;
  screen: LotScreen;
  other: Beside | null;
}

function Chosen({ id, screen, other }: ChosenProps): JSX.Element {
  return (
    <div class="beside-lot" role="group" aria-label={words.table(id)}>
      {other === null ? <p>{words.loading(id)}</p> : <Difference other={other} screen={screen} />}
      <div class="beside-acts">
        <button type="button" onClick={() => screen.beside.leave(id)}>{words.leave(id)}</button>
        <a href={links.lot(id)}>{words.open}</a>
      </div>
    </div>
  );
}

function Difference({ other, screen }: { other: Beside; screen: LotScreen }): JSX.Element {
  const rows = besideRows(other, screen.say.value);
  if (rows.length === 0) return <p>{words.nothing}</p>;
  return (
    <div class="scroll" role="group" aria-label={words.there(other.lot)} tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.when}</th>
            <th scope="col" class="number">{words.here}</th>
            <th scope="col" class="number">{words.there(other.lot)}</th>
            <th scope="col">{words.difference}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ what, here, there, difference }) => (
            <tr key={what}>
              <th scope="row">{what}</th>
              <td class="number">{here}</td>
              <td class="number">{there}</td>
              <td>{difference}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** Lots of the same recipe, or any that somebody looks for. */
function Picker({ screen, lot }: { screen: LotScreen; lot: Lot }): JSX.Element {
  const [search, look] = useState("");
  const field = useId();
  const { workshop, beside } = screen;
  const of = { id: lot.id, recipe: lot.recipe.name };
  const found = offered(workshop.lots.entries.value ?? [], of, beside.chosen.value, search);
  const searching = search.trim() !== "";
  const none = searching ? words.noneFound : words.noneAlike;
  return (
    <div class="beside-picker">
      <label for={field}>{words.search}</label>
      <input
        id={field} type="search" autoComplete="off" value={search}
        onInput={(event) => look(event.currentTarget.value)}
      />
      <h3>{searching ? words.found : words.sameRecipe}</h3>
      {found.length === 0 ? <p role="status">{none}</p> : null}
      <ul>
        {found.map(({ id, recipe, opened_at: at }) => (
          <li key={id}>
            <Choice
              id={id} entry={words.entry(recipe, screen.say.value.day(at))} beside={beside}
            />
          </li>
        ))}
      </ul>
    </div>
  );
}

function Choice(props: { id: string; entry: string; beside: BesideModel }): JSX.Element {
  const { id, entry, beside } = props;
  return (
    <button type="button" onClick={() => void beside.choose(id)}>
      {words.choose(id)}<small>{entry}</small>
    </button>
  );
}
