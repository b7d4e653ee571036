import assert from "node:assert/strict";
import { test } from "node:test";
import { askedRows } from "../src/models/asked.ts";
import type { AskedRow } from "../src/models/asked.ts";
import type { Lot, PitcherMeasured } from "../src/types.ts";
import { after, alarm } from "./fixtures.ts";
import { closedLot, measured, say } from "./lot_samples.ts";

const rows = (lot: Lot = closedLot, of: PitcherMeasured[] = [measured]): Map<string, AskedRow> =>
  new Map(askedRows(lot, of, say).map((row) => [row.what, row]));

test("what the recipe asked stands beside what was, with the difference in words", () => {
  const shown = [...rows().values()].map(({ what, asked, was, difference, off }) =>
    [what, asked, was, difference, off]);
  assert.deepEqual(shown, [
    ["Wax", "615.0 g ± 10.0 g", "616.0 g", "1.0 g over", null],
    ["Fragrance", "49.3 g ± 2.0 g", "49.0 g", "0.3 g under", null],
    ["Fragrance load", "8.0 % of the wax", "7.95 % of the wax, 7.37 % of the total",
      "0.05 points under", null],
    ["Wax when fragrance went in", "80.0 to 85.0 °C", "82.1 °C", "in the window", null],
    ["Stir", "at least 2:00", "2:05", "0:05 longer", null],
    ["Wax when the pour began", "57.0 to 63.0 °C", "61.5 °C", "in the window", null],
    ["Wax when the pour ended", "57.0 to 63.0 °C", "56.1 °C", "0.9 °C under", "under"],
    ["Vessels", "3 vessels of 220.0 g", "3 filled, 218.0 g on average",
      "1 outside of what is allowed", "under"],
    ["Whole lot", "nothing", "25:00", "", null],
  ]);
});

test("the load is held against the basis that the recipe names", () => {
  const total = { ...closedLot, batch_sheet: { ...closedLot.batch_sheet, load_of: "total" as const } };
  assert.equal(rows(total).get("Fragrance load")?.difference, "0.63 points under");
});

test("outside of a window by less than a probe can tell is said, and carries no sign", () => {
  const pitcher = { ...measured, added: { at: after(200), value: 79.8, off: false } };
  const row = rows(closedLot, [pitcher]).get("Wax when fragrance went in");
  assert.deepEqual([row?.difference, row?.off], ["0.2 °C under", null]);
});

test("a temperature that no probe told is not known", () => {
  const pitcher = { ...measured, added: { at: after(200), value: null, off: false } };
  const row = rows(closedLot, [pitcher]).get("Wax when fragrance went in");
  assert.deepEqual([row?.was, row?.difference, row?.off], ["not known", "", null]);
});

test("a short stir is short, and one second is the press of a key", () => {
  const lasting = (seconds: number): AskedRow | undefined => rows({
    ...closedLot,
    phases: closedLot.phases.map((phase) => phase.phase === "stir" ? { ...phase, seconds } : phase),
  }).get("Stir");
  assert.deepEqual([lasting(80.5)?.difference, lasting(80.5)?.off], ["0:40 short", "under"]);
  assert.deepEqual([lasting(119.2)?.difference, lasting(119.2)?.off], ["as asked for", null]);
});

test("vessels that were left out of a closed lot are missing, of an open one not yet", () => {
  const more = { ...closedLot, vessels: 5 };
  assert.match(rows(more).get("Vessels")?.difference ?? "", /^2 vessels not filled, 1 outside/);
  const open: Lot = { ...more, state: "open", closed_at: null };
  assert.doesNotMatch(rows(open).get("Vessels")?.difference ?? "", /not filled/);
});

test("a phase of the recipe's own stands with its times, off where its rule said so", () => {
  const resting: Lot = {
    ...closedLot,
    recipe: {
      ...closedLot.recipe,
      document: { phase: [{ name: "rest", after: "stir", at_least: "5 min", at_most: "10 min" }] },
    },
    phases: [...closedLot.phases, {
      phase: "rest", pitcher: 1, began: after(400), ended: after(500), seconds: 100,
      evidence: "mark", rests_on: null,
    }],
    deviations: [{
      ...alarm, rule: "phase-duration", phase: "rest", measured: 100, unit: "s",
      limit: { low: 300, high: 600 },
    }],
  };
  const row = rows(resting).get("rest, how long");
  assert.deepEqual([row?.asked, row?.was, row?.off], ["at least 5 min, at most 10 min", "1:40", "under"]);
});

test("several pitchers have their rows each", () => {
  const names = [...rows(closedLot, [measured, { ...measured, pitcher: 2 }]).keys()];
  assert.ok(names.includes("Wax when the pour began, pitcher 2"));
  assert.ok(names.includes("Stir, pitcher 1"));
});
