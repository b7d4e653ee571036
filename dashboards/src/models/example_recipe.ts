import type { RecipeDocument } from "../types.ts";

/**
 * A whole recipe to begin with; its values are common practice for a soy wax, no source, and have
 * to be checked against the sheets of the wax and the fragrance that are really used.
 */
export const EXAMPLE: RecipeDocument = {
  name: "Example: lavender in soy, 180 g",
  vessel: { fill: "180 g", tolerance: "2 g" },
  pitcher: { capacity: "1500 g", residue: "6 g" },
  wax: { name: "soy wax", never_above: "90 °C" },
  fragrance: {
    name: "lavender", load: "8 %", load_of: "wax", flash_point: "93 °C",
    add_between: ["78 °C", "85 °C"],
  },
  stir: { at_least: "120 s" },
  pour: { between: ["57 °C", "63 °C"] },
  set: { at_least: "24 h" },
  cure: { at_least: "14 day" },
};

/** Fields on which safety rests: nobody but the maker can say that they are right. */
export const SAFETY_FIELDS: readonly string[] = ["wax.never_above", "fragrance.flash_point"];
