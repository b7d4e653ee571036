import assert from "node:assert/strict";
import { test } from "node:test";
import { found, kindOf } from "../src/models/lot_filter.ts";
import type { LotFilter } from "../src/models/lot_filter.ts";
import type { LotEntry } from "../src/types.ts";
import { NOON } from "./fixtures.ts";

const entry: LotEntry = {
  id: "2026-11-25-1", bench: "east", recipe: "Cedar smoke, 220 g", vessels: 12, state: "closed",
  opened_at: NOON, closed_at: NOON, deviations: 0, fills: 12, kept: false,
};
const entries: LotEntry[] = [
  entry,
  { ...entry, id: "2026-11-25-2", recipe: "Salted fig", deviations: 2, kept: true },
  { ...entry, id: "2026-11-26-1", bench: "west", state: "open", closed_at: null },
];
const ids = (filter: Partial<LotFilter>): string[] =>
  found(entries, { text: "", bench: null, only: null, ...filter }).map(({ id }) => id);

test("without a wish every lot is there, in its order", () => {
  assert.deepEqual(ids({}), entries.map(({ id }) => id));
});

test("every word has to be in the number or the recipe, however it is written", () => {
  assert.deepEqual(ids({ text: "CEDAR 11-25" }), ["2026-11-25-1"]);
  assert.deepEqual(ids({ text: "  fig " }), ["2026-11-25-2"]);
  assert.deepEqual(ids({ text: "fig cedar" }), []);
});

test("lots are found by bench and by what became of them", () => {
  assert.deepEqual(ids({ bench: "west" }), ["2026-11-26-1"]);
  assert.deepEqual(ids({ only: "open" }), ["2026-11-26-1"]);
  assert.deepEqual(ids({ only: "deviating" }), ["2026-11-25-2"]);
  assert.deepEqual(ids({ only: "kept", bench: "west" }), []);
  assert.equal(kindOf("nonsense"), null);
});
