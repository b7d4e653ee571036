import { several } from "./several.ts";

export const opening = {
  title: "Open a lot",
  recipe: "Recipe",
  vessels: "Vessels",
  fewer: "One vessel fewer",
  more: "One vessel more",
  bench: "Bench",
  open: "Open the lot",
  noRecipes: "There is no recipe to choose from. Add one first; then it can be chosen here.",
  newRecipe: "New recipe",
  last: (recipe: string) => `Last lot here: ${recipe}`,
  pourDay: "Lot of the pour day",
  planned: (recipe: string, n: number) => `${recipe}, ${several(n, "vessel", "vessels")}`,
  notPlanned: "Another lot, not of this day",
};
