import type { LotEntry } from "../types.ts";

/** What narrows the list of lots; empty text and null leave it open. */
export interface LotFilter {
  text: string;
  bench: string | null;
  /** `open`, `closed`, `deviating` or `kept`. */
  only: LotKind | null;
}

export type LotKind = "open" | "closed" | "deviating" | "kept";

const KINDS: Readonly<Record<LotKind, (entry: LotEntry) => boolean>> = {
  open: ({ state }) => state === "open",
  closed: ({ state }) => state === "closed",
  deviating: ({ deviations }) => deviations > 0,
  kept: ({ kept }) => kept,
};

export const LOT_KINDS = Object.keys(KINDS) as readonly LotKind[];

export function kindOf(text: string | null): LotKind | null {
  return LOT_KINDS.find((kind) => kind === text) ?? null;
}

/** The lots that a filter leaves, in their order; every word has to be in the id or the recipe. */
export function found(entries: readonly LotEntry[], filter: LotFilter): LotEntry[] {
  const words = filter.text.toLocaleLowerCase().split(/\s+/).filter((word) => word !== "");
  return entries.filter((entry) => {
    const text = `${entry.id} ${entry.recipe}`.toLocaleLowerCase();
    return words.every((word) => text.includes(word))
      && (filter.bench ?? entry.bench) === entry.bench
      && (filter.only === null || KINDS[filter.only](entry));
  });
}
