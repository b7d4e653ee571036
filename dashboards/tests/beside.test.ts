import assert from "node:assert/strict";
import { test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import { BesideModel, offered } from "../src/models/beside.ts";
import { besideRows } from "../src/models/beside_rows.ts";
import { Complaints } from "../src/models/complaints.ts";
import { FineCurves } from "../src/models/fine_curves.ts";
import { LotModel } from "../src/models/lot.ts";
import type { Beside, CurveData, LotEntry } from "../src/types.ts";
import { FakeFeed, NOON_MS, after, lot, serviceWith } from "./fixtures.ts";
import { say } from "./lot_samples.ts";

const noon = NOON_MS / 1000;
const other = (id: string): Beside => ({
  lot: id, recipe: "Cedar smoke", opened_at: after(0), stretches: [],
  events: [
    { anchor: "wax drawn", at: after(90), other_at: after(-900), here: 85, there: 83.5, difference: -1.5 },
    { anchor: "stirred", at: after(365), other_at: after(-600), here: null, there: 75, difference: null },
  ],
  phases: [
    { phase: "stir", here: 125, there: 100, difference: -25 },
    { phase: "pour", here: 200, there: 200, difference: 0 },
    { phase: "rest", here: null, there: 60, difference: null },
  ],
});

function model(chosen: string[] = []) {
  const complaints = new Complaints();
  const beside = new BesideModel("7", chosen, serviceWith({
    beside: async (_lot, id) => {
      if (id === "gone") throw new Refusal(404, "There is no lot 'gone'.", [], null);
      return other(id);
    },
  }), complaints);
  return { beside, complaints };
}

test("lots of the address are fetched and drawn in their order, never the lot itself", async () => {
  const { beside } = model(["2", "7", "1"]);
  await beside.load();
  assert.deepEqual(beside.shown.map((one) => one.lot), ["2", "1"]);
});

test("three lots are the most, and one is laid beside only once", async () => {
  const { beside } = model();
  for (const id of ["1", "2", "2", "3", "4"]) await beside.choose(id);
  assert.deepEqual(beside.chosen.value, ["1", "2", "3"]);
  beside.leave("2");
  assert.deepEqual(beside.shown.map((one) => one.lot), ["1", "3"]);
});

test("a lot that cannot be laid beside is let go of, and why is said", async () => {
  const { beside, complaints } = model();
  await beside.choose("gone");
  assert.deepEqual(beside.chosen.value, []);
  assert.equal(complaints.latest.value?.message, "There is no lot 'gone'.");
});

test("how another lot differs is said in words, and what is not known is said to be so", () => {
  assert.deepEqual(besideRows(other("1"), say), [
    { what: "Wax drawn", here: "85.0 °C", there: "83.5 °C", difference: "1.5 °C cooler" },
    { what: "Stirred", here: "not known", there: "75.0 °C", difference: "" },
    { what: "Stir, how long", here: "2:05", there: "1:40", difference: "0:25 shorter" },
    { what: "Pour, how long", here: "3:20", there: "3:20", difference: "the same" },
    { what: "rest, how long", here: "not known", there: "1:00", difference: "" },
  ]);
});

const entry = (id: string, recipe: string): LotEntry => ({
  id, recipe, bench: "east", vessels: 3, state: "closed", opened_at: after(0), closed_at: after(9),
  deviations: 0, fills: 3, kept: false,
});

test("lots of the same recipe are offered, and any other to somebody who searches", () => {
  const all = [entry("7", "Cedar smoke"), entry("6", "Cedar smoke"), entry("5", "Salt"), entry("4", "Cedar smoke")];
  const of = { id: "7", recipe: "Cedar smoke" };
  const ids = (chosen: string[], search: string): string[] =>
    offered(all, of, chosen, search).map(({ id }) => id);
  assert.deepEqual(ids([], ""), ["6", "4"]);
  assert.deepEqual(ids(["6"], " "), ["4"]);
  assert.deepEqual(ids([], "SALT"), ["5"]);
  assert.deepEqual(ids([], "no such"), []);
});

const coarse: CurveData[] = [];

test("the part that is looked at is asked for once it rests, a quarter wider at both ends", async () => {
  const asked: unknown[] = [];
  const fine = new FineCurves("7", serviceWith({
    lotCurve: async (_lot, channel, ends) => {
      asked.push([channel, ends]);
      return { channel, unit: "degC", t: [noon], value: [60] };
    },
  }), new Complaints());
  fine.want({ from: noon - 50, to: noon }, ["jug"]);
  fine.want({ from: noon, to: noon + 100 }, ["jug"]);
  assert.equal(fine.loading.value, true);
  assert.equal(fine.best({ from: noon, to: noon + 100 }, coarse), coarse);
  await wait(350);
  assert.deepEqual(asked, [["jug", { from: after(-25), to: after(125) }]]);
  assert.equal(fine.loading.value, false);
  assert.equal(fine.best({ from: noon - 20, to: noon + 80 }, coarse)[0]?.channel, "jug");
  assert.equal(fine.best({ from: noon - 50, to: noon }, coarse), coarse);
  fine.want(null, ["jug"]);
  assert.equal(fine.best({ from: noon, to: noon + 100 }, coarse), coarse);
});

test("an answer that comes after the next question is not shown", async () => {
  let answer: (curve: CurveData) => void = () => undefined;
  const fine = new FineCurves("7", serviceWith({
    lotCurve: () => new Promise((resolve) => {
      answer = resolve;
    }),
  }), new Complaints());
  fine.want({ from: noon, to: noon + 100 }, ["jug"]);
  await wait(300);
  fine.want(null, ["jug"]);
  answer({ channel: "jug", unit: "degC", t: [], value: [] });
  await wait(10);
  assert.equal(fine.best({ from: noon, to: noon + 100 }, coarse), coarse);
  assert.equal(fine.loading.value, false);
});

test("readings are kept for good or released with a note, and shown as the service has it", async () => {
  const said: unknown[] = [];
  const service = serviceWith({
    keepReadings: async (id, kept, note) => {
      said.push([id, kept, note]);
      return { id, kept, note, at: after(0) };
    },
    lot: async () => ({ ...lot, kept: true }),
  });
  const record = new LotModel("7", new FakeFeed(), service, new Complaints());
  await record.keep(true, "a customer asked");
  assert.deepEqual(said, [["7", true, "a customer asked"]]);
  assert.equal(record.lot.value?.kept, true);
});
