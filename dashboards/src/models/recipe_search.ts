import type { RecipeEntry } from "../types.ts";

/** The recipes of which name, wax or fragrance have every word that is looked for. */
export function found(recipes: readonly RecipeEntry[], search: string): RecipeEntry[] {
  const words = plain(search).split(/\s+/).filter((word) => word !== "");
  return recipes.filter(({ name, wax, fragrance }) => {
    const text = plain(`${name} ${wax} ${fragrance}`);
    return words.every((word) => text.includes(word));
  });
}

/** Without case and accents, so that "creme" finds "Crème". */
function plain(text: string): string {
  return text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
}
