import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { LotEntry } from "../types.ts";
import { lots as words } from "../words.ts";
import { Sign } from "./sign.tsx";

/** A lot in a line that opens its record. */
export function LotLink(props: { workshop: WorkshopModel; entry: LotEntry }): JSX.Element {
  const { entry } = props;
  const wall = props.workshop.wall.value;
  return (
    <a class="panel" href={links.lot(entry.id)}>
      <span class="soft">{entry.id}</span>
      <span class="lot-recipe">{entry.recipe}</span>
      <Deviations n={entry.deviations} />
      <span>{words.state[entry.state]}{entry.kept ? `, ${words.kept}` : ""}</span>
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
