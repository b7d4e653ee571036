import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { LotEntry } from "../types.ts";
import { page, lots as words } from "../words.ts";
import "./lots_page.css";
import { Sign } from "./sign.tsx";

/** Every lot, newest first; each opens its record. */
export function LotsPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const entries = workshop.lots.entries.value;
  return (
    <>
      <h1>{words.title}</h1>
      {entries === null ? <p>{page.loading}</p> : null}
      {entries?.length === 0 ? <p>{words.none}</p> : null}
      <ul class="lots">
        {(entries ?? []).map((entry) => (
          <li key={entry.id}><LotLink workshop={workshop} entry={entry} /></li>
        ))}
      </ul>
    </>
  );
}

function LotLink(props: { workshop: WorkshopModel; entry: LotEntry }): JSX.Element {
  const { entry } = props;
  const wall = props.workshop.wall.value;
  return (
    <a class="panel" href={links.lot(entry.id)}>
      <span class="soft">{entry.id}</span>
      <span class="lot-recipe">{entry.recipe}</span>
      <Deviations n={entry.deviations} />
      <span>{words.state[entry.state]}</span>
      <span>
        {words.opened(wall.day(entry.opened_at), wall.minute(entry.opened_at))}
        {" · "}{words.bench(entry.bench)}
      </span>
      <span>{words.vessels(entry.fills, entry.vessels)}</span>
    </a>
  );
}

function Deviations({ n }: { n: number }): JSX.Element {
  if (n === 0) return <span>{words.deviations(n)}</span>;
  return <span class="deviating"><Sign name="medium" />{words.deviations(n)}</span>;
}
