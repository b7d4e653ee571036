import { kindOf } from "./models/lot_filter.ts";
import type { LotFilter } from "./models/lot_filter.ts";
import type { HistoryFilter } from "./models/alarm_history.ts";

/** The pages, told apart by their path. */
export type Place =
  | { page: "bench"; bench: string | null }
  | { page: "benches" }
  | { page: "lots"; filter: LotFilter }
  | { page: "pour days" }
  | { page: "pour day"; id: string | null }
  | { page: "health" }
  | { page: "lot"; id: string }
  | { page: "alarms"; filter: HistoryFilter; days: number; until: string | null }
  | { page: "screen" }
  | { page: "nowhere" };

/** In place of a name: the thing is still to be made. */
const NEW = "new";

type Arrival = (name: string, query: URLSearchParams) => Place;

/** Paths and what they lead to; a star stands for a name, escaped as in every address. */
const PATHS: Readonly<Record<string, Arrival>> = {
  "/": (_name, query) => ({ page: "bench", bench: query.get("bench") }),
  "/benches": () => ({ page: "benches" }),
  "/lots": (_name, query) => ({
    page: "lots",
    filter: {
      text: query.get("q") ?? "", bench: query.get("bench"), only: kindOf(query.get("only")),
    },
  }),
  "/pour-days": () => ({ page: "pour days" }),
  "/pour-days/*": (id) => ({ page: "pour day", id: id === NEW ? null : id }),
  "/health": () => ({ page: "health" }),
  "/lots/*": (id) => ({ page: "lot", id }),
  "/alarms": (_name, query) => ({
    page: "alarms", days: daysOf(query.get("days")), until: query.get("until"),
    filter: {
      bench: query.get("bench"), rule: query.get("rule"), priority: query.get("priority"),
    },
  }),
  "/screen": () => ({ page: "screen" }),
};

/** Reads an address, path and query, such as "/lots/7" or "/?bench=quay". */
export function placeOf(address: string): Place {
  const { pathname, searchParams } = new URL(address, "http://screen");
  const path = pathname.replace(/\/+$/, "");
  const plain = PATHS[path === "" ? "/" : path];
  if (plain !== undefined) return plain("", searchParams);
  const cut = path.lastIndexOf("/");
  const name = decoded(path.slice(cut + 1));
  const named = PATHS[`${path.slice(0, cut)}/*`];
  return named === undefined || name === null ? { page: "nowhere" } : named(name, searchParams);
}

/** How many days of a history to show; a mistyped number is the usual one. */
function daysOf(text: string | null): number {
  const days = Number(text ?? 1);
  return Number.isInteger(days) && days >= 1 && days <= 366 ? days : 1;
}

/** Undoes the escapes of a path's part; null where they are broken, as in a mistyped address. */
function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch (error) {
    if (error instanceof URIError) return null;
    throw error;
  }
}

export const links = {
  bench: (bench: string): string => `/?bench=${encodeURIComponent(bench)}`,
  benches: "/benches",
  lots: "/lots",
  pourDays: "/pour-days",
  newPourDay: `/pour-days/${NEW}`,
  pourDay: (id: string): string => `/pour-days/${encodeURIComponent(id)}`,
  health: "/health",
  alarms: "/alarms",
  screen: "/screen",
  lot: (id: string): string => `/lots/${encodeURIComponent(id)}`,
};
