import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Lot } from "../types.ts";
import { lot as words, verdict } from "../words.ts";
import { Sign } from "./sign.tsx";

/** Which lot it is, and in a few words how it went. */
export function LotHeader({ workshop, lot }: { workshop: WorkshopModel; lot: Lot }): JSX.Element {
  const wall = workshop.wall.value;
  const n = lot.deviations.length;
  const moment = (at: string): string => `${wall.day(at)}, ${wall.minute(at)}`;
  return (
    <header class="lot-header">
      <h1>{words.title(lot.id)}: {lot.recipe.name}</h1>
      <p class={n > 0 ? "verdict deviating" : "verdict"}>
        <Sign name={n > 0 ? "medium" : "check"} />
        {words.verdict(n, lot.state === "open")}
      </p>
      {lot.verdict === null ? null : (
        <p class="verdict">{lot.verdict.good ? verdict.good : verdict.bad}</p>
      )}
      <p>{words.opened} {moment(lot.opened_at)}</p>
      {lot.closed_at === null
        ? <p>{words.stillOpen} · <a href={links.bench(lot.bench)}>{words.toBench}</a></p>
        : <p>{words.closed} {moment(lot.closed_at)}</p>}
    </header>
  );
}
