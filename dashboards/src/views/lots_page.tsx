import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { found } from "../models/lot_filter.ts";
import type { LotFilter } from "../models/lot_filter.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Router } from "../router.ts";
import { lots as words, page } from "../words.ts";
import { LotFilters } from "./lot_filters.tsx";
import { LotLink } from "./lot_link.tsx";
import "./lots_page.css";

/** More than this at once is slow to draw and longer than anybody reads. */
const PORTION = 100;

interface LotsPageProps {
  workshop: WorkshopModel;
  router: Router;
  filter: LotFilter;
}

/** Every lot, newest first, narrowed by what stands in the address; each opens its record. */
export function LotsPage({ workshop, router, filter }: LotsPageProps): JSX.Element {
  const entries = workshop.lots.entries.value;
  const matching = found(entries ?? [], filter);
  return (
    <>
      <h1>{words.title}</h1>
      {entries === null ? <p>{page.loading}</p> : null}
      {entries?.length === 0 ? <p>{words.none}</p> : null}
      {entries === null || entries.length === 0 ? null : (
        <LotFilters workshop={workshop} router={router} filter={filter}>
          <p role="status">{words.shown(matching.length, entries.length)}</p>
        </LotFilters>
      )}
      {matching.length === 0 && (entries?.length ?? 0) > 0 ? <p>{words.noMatch}</p> : null}
      <LotList key={JSON.stringify(filter)} workshop={workshop} entries={matching} />
    </>
  );
}

interface LotListProps {
  workshop: WorkshopModel;
  entries: ReturnType<typeof found>;
}

function LotList({ workshop, entries }: LotListProps): JSX.Element {
  const [portions, show] = useState(1);
  const rest = entries.length - portions * PORTION;
  return (
    <>
      <ul class="lots">
        {entries.slice(0, portions * PORTION).map((entry) => (
          <li key={entry.id}><LotLink workshop={workshop} entry={entry} /></li>
        ))}
      </ul>
      {rest <= 0 ? null : (
        <button type="button" onClick={() => show(portions + 1)}>
          {words.more(Math.min(rest, PORTION))}
        </button>
      )}
    </>
  );
}
