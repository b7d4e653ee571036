import type { Beside } from "../types.ts";
import { beside as words, phaseName } from "../words.ts";
import { duration } from "./quantities.ts";
import type { Say } from "./say.ts";

/** One line of how another lot differs from this one. */
export interface BesideRow {
  what: string;
  here: string;
  there: string;
  difference: string;
}

/** How another lot differs: how warm its wax was at each event, how long its phases were. */
export function besideRows({ events, phases }: Beside, say: Say): BesideRow[] {
  return [
    ...events.map(({ anchor, here, there, difference }) => ({
      what: words.anchors[anchor] ?? anchor,
      here: shown(here, say.degrees), there: shown(there, say.degrees),
      difference: apart(difference, say.degreesApart, words.warmer, words.cooler),
    })),
    ...phases.map(({ phase, here, there, difference }) => ({
      what: words.lasted(phaseName(phase)),
      here: shown(here, duration), there: shown(there, duration),
      difference: apart(difference, (by) => duration(Math.abs(by)), words.longer, words.shorter),
    })),
  ];
}

function shown(value: number | null, say: (value: number) => string): string {
  return value === null ? words.unknown : say(value);
}

type Named = (by: string) => string;

function apart(
  difference: number | null, say: (by: number) => string, more: Named, less: Named,
): string {
  if (difference === null) return "";
  const by = say(difference);
  if (by === say(0)) return words.same;
  return difference > 0 ? more(by) : less(by);
}
