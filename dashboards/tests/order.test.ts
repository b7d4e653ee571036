import assert from "node:assert/strict";
import { test } from "node:test";
import { free, planned } from "../src/models/order.ts";
import { NOON } from "./fixtures.ts";
import type { LotOfDay, PourDay, RecipeEntry } from "../src/types.ts";

const pot = {
  pour_day: "day-1", must_hold: 2000, residue: 0, melted: 2000, drawn: 0, left: 2000, needed: 1200,
  enough: true, message: "The pot holds 2000.0 g.",
};
const waiting = {
  state: "planned" as const, wax: 1200, drawn: 0, needed: 1200, pitchers: [], lot: null,
};
const day = (id: string, ...lots: LotOfDay[]): PourDay => ({
  id, planned_at: NOON, pot, lots,
});
const cedar: LotOfDay = { ...waiting, recipe: "Cedar smoke", vessels: 6 };

test("the lots of the newest day that wait are offered in its order", () => {
  const fig: LotOfDay = { ...waiting, recipe: "Salted fig", vessels: 8 };
  const days = [day("day-2", { ...cedar, lot: "7" }, fig, cedar), day("day-1", cedar)];
  assert.deepEqual(planned(days).map(({ draft }) => draft), [
    { recipe: "Salted fig", vessels: 8, pour_day: "day-2" },
    { recipe: "Cedar smoke", vessels: 6, pour_day: "day-2" },
  ]);
});

test("two lots of one recipe are two choices where their vessels differ", () => {
  const keys = planned([day("day-1", cedar, cedar, { ...cedar, vessels: 4 })]).map((c) => c.key);
  assert.equal(keys.length, 2);
  assert.equal(new Set(keys).size, 2);
});

test("a day that is opened, or none, offers nothing", () => {
  assert.deepEqual(planned([day("day-1", { ...cedar, lot: "7" })]), []);
  assert.deepEqual(planned([]), []);
});

test("a lot on no day begins with the first recipe", () => {
  const recipes = [{ name: "Cedar smoke" }, { name: "Salted fig" }] as RecipeEntry[];
  assert.deepEqual(free(recipes), { recipe: "Cedar smoke", vessels: 12, pour_day: null });
});
