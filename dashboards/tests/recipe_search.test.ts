import assert from "node:assert/strict";
import { test } from "node:test";
import { found } from "../src/models/recipe_search.ts";
import type { RecipeEntry } from "../src/types.ts";
import { NOON } from "./fixtures.ts";

const entry = (name: string, wax: string, fragrance: string): RecipeEntry => ({
  name, wax, fragrance, phases: [], recipe: {}, version: 1, kept_at: NOON, fill: 200, load: 8,
  load_of: "wax", lots: 0, last_made: null, retired: false,
});
const cedar = entry("Cedar smoke", "soy", "cedar");
const fig = entry("Crème de figue", "rapeseed", "fig");

test("every word that is looked for is in the name, the wax or the fragrance", () => {
  const named = (search: string): string[] => found([cedar, fig], search).map(({ name }) => name);
  assert.deepEqual(named(""), [cedar.name, fig.name]);
  assert.deepEqual(named("SOY cedar"), [cedar.name]);
  assert.deepEqual(named("creme"), [fig.name]);
  assert.deepEqual(named("soy fig"), []);
});
