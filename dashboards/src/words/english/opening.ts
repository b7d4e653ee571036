import { several } from "./several.ts";

export const opening = {
  title: "Open a lot",
  recipe: "Recipe",
  vessels: "Vessels",
  fewer: "One vessel fewer",
  more: "One vessel more",
  bench: "Bench",
  open: "Open the lot",
  noRecipes: "The service has no recipe yet. Add one first; then it can be chosen here.",
  last: (recipe: string) => `Last lot here: ${recipe}`,
  pourDay: "Lot of the pour day",
  planned: (recipe: string, n: number) => `${recipe}, ${several(n, "vessel", "vessels")}`,
  notPlanned: "Another lot, not of this day",
};
