import type { ComponentChildren, JSX } from "preact";
import { LOT_KINDS, kindOf } from "../models/lot_filter.ts";
import type { LotFilter } from "../models/lot_filter.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Router } from "../router.ts";
import { lots as words } from "../words.ts";
import "./filters.css";
import { Pick } from "./pick.tsx";

interface LotFiltersProps {
  workshop: WorkshopModel;
  router: Router;
  filter: LotFilter;
  children: ComponentChildren;
}

/** Narrows the list; all of it stands in the address, so that a list can be found again. */
export function LotFilters({ workshop, router, filter, children }: LotFiltersProps): JSX.Element {
  const kindName = (kind: string): string => words.kinds[kindOf(kind) ?? "open"];
  return (
    <form class="filters panel" role="search" onSubmit={(event) => event.preventDefault()}>
      <label>
        {words.search}
        <input
          type="search" value={filter.text} placeholder={words.searchHint}
          onInput={(event) => router.refine({ q: event.currentTarget.value || null })}
        />
      </label>
      <Pick
        label={words.atBench} any={words.any} now={filter.bench}
        known={workshop.info.value?.benches ?? []} pick={(bench) => router.refine({ bench })}
      />
      <Pick
        label={words.only} any={words.any} now={filter.only} known={LOT_KINDS} name={kindName}
        pick={(only) => router.refine({ only })}
      />
      {children}
    </form>
  );
}
