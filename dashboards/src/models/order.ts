import type { LotOrder } from "../feed/service.ts";
import type { PourDay, RecipeEntry } from "../types.ts";

const FIRST_VESSELS = 12;

/** What stands in the form before anybody touches it, or after another choice: a lot to open. */
export type Draft = Omit<LotOrder, "bench">;

/** A lot that can be opened now: of the pour day, or of any recipe. */
export interface Choice {
  key: string;
  draft: Draft;
}

/** The lots of the newest pour day that wait to be opened, in order; the same one only once. */
export function planned(days: readonly PourDay[]): Choice[] {
  const [day] = days;
  if (day === undefined) return [];
  const choices = new Map<string, Choice>();
  for (const { recipe, vessels, lot } of day.lots) {
    const key = `${vessels} ${recipe}`;
    if (lot === null) choices.set(key, { key, draft: { recipe, vessels, pour_day: day.id } });
  }
  return [...choices.values()];
}

/** A lot on no pour day, of the first recipe. */
export function free(recipes: readonly RecipeEntry[]): Draft {
  return { recipe: recipes[0]?.name ?? "", vessels: FIRST_VESSELS, pour_day: null };
}
