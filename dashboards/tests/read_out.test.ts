import assert from "node:assert/strict";
import { test } from "node:test";
import type { Picture } from "../src/chart.ts";
import { inSight, lotPictures } from "../src/models/lot_pictures.ts";
import { lotReadOut } from "../src/models/lot_read_out.ts";
import { nearestOf, valueAt } from "../src/models/read_out.ts";
import type { ReadLine } from "../src/models/read_out.ts";
import type { Beside } from "../src/types.ts";
import { NOON_MS, after } from "./fixtures.ts";
import { METRIC, asIs, closedLot, say } from "./lot_samples.ts";

const noon = NOON_MS / 1000;
const line = (values: ReadLine["values"], t: number[] = [100, 101, 102, 103]): ReadLine =>
  ({ label: "jug", unit: "°C", decimals: 1, t, values });

test("the reading nearest in time is shown, with the time at which it was taken", () => {
  const read = valueAt(line([60, 61, 62, 63]), 101.6);
  assert.deepEqual([read.value, read.at], [62, 102]);
  assert.equal(valueAt(line([60, 61, 62, 63]), 99).value, 60);
  assert.equal(valueAt(line([60, 61, 62, 63]), 104).value, 63);
});

test("points of other lines in between are passed over", () => {
  assert.equal(valueAt(line([60, undefined, undefined, 63]), 101.9).value, 63);
});

test("in a gap there is no reading, and none is made up", () => {
  const gap = line([60, null, 63], [100, 101, 200]);
  assert.equal(valueAt(gap, 150).value, null);
  assert.equal(valueAt(gap, 110).value, 60);
  assert.equal(valueAt(gap, 186).value, 63);
  assert.equal(valueAt(line([], []), 100).value, null);
});

test("the nearest happening is named, before or after", () => {
  const two = [{ at: 10, name: "first" }, { at: 20, name: "second" }];
  assert.deepEqual(nearestOf(two, 16), { at: 20, name: "second", later: 4 });
  assert.deepEqual(nearestOf(two, 13), { at: 10, name: "first", later: -3 });
  assert.equal(nearestOf([], 13), null);
});

const curves = [
  { channel: "east-pitcher", unit: "degC", t: [noon + 1100, noon + 1101], value: [60, 59.5] },
  { channel: "east-scale", unit: "g", t: [noon + 1100, noon + 1101], value: [200, 213.9] },
];
const WHOLE = { from: noon, to: noon + 1500 };

test("a moment is read out of both charts, with its phase and what was nearest", () => {
  const material = { lot: closedLot, curves, beside: [], goodLots: null };
  const { warm, heavy } = lotPictures(material, WHOLE, METRIC);
  const charts = [
    { picture: warm, unit: "°C", decimals: 1 }, { picture: heavy, unit: "g", decimals: 1 },
  ];
  const read = lotReadOut(closedLot, charts, noon + 1101, say, asIs);
  assert.deepEqual(read.values.map(({ label, value }) => [label, value]),
    [["east-pitcher", 59.5], ["east-scale", 213.9]]);
  assert.deepEqual(read.phases, ["Pour"]);
  assert.deepEqual(read.nearest, [
    "Vessel 2, 213.9 g (29 seconds later)",
    "Deviation 1: Vessel 2 of 3 is 6.1 g light: 213.9 g of 220.0 g. (30 seconds later)",
  ]);
  assert.deepEqual(lotReadOut(closedLot, charts, noon + 500, say, asIs).nearest,
    ["Fragrance, pitcher 1, 49.0 g (5 minutes before)"]);
});

const other: Beside = {
  lot: "6", recipe: "Cedar smoke", opened_at: after(-9000), events: [], phases: [],
  stretches: [
    { anchor: "wax drawn", t: [noon + 90, noon + 95], value: [85, 84] },
    { anchor: "stirred", t: [noon + 365, noon + 370], value: [75, 74] },
  ],
};

test("another lot is a line of its own style, broken between its stretches", () => {
  const material = { lot: closedLot, curves, beside: [other], goodLots: null };
  const [, beside] = lotPictures(material, WHOLE, METRIC).warm.lines;
  assert.deepEqual([beside?.label, beside?.style], ["lot 6", 4]);
  const values = beside?.values.filter((value) => value !== undefined);
  assert.deepEqual(values, [85, 84, null, 75, 74]);
});

const picture: Picture = {
  t: [0, 100, 200], from: 0, to: 200, spans: [], marks: [],
  lines: [
    { label: "jug", style: 0, values: [80, 60, 59] }, { label: "pot", style: 1, values: [90, 90, 90] },
  ],
  bands: [{ low: 57, high: 63, label: "pour" }, { low: 93, high: 93, label: "never above" }],
  stretches: [{ t: [0, 50, 100, 150, 200], low: [1, 2, 3, 4, 5], high: [61, 62, 63, 64, 65] }],
};

test("from close by, only windows near the lines in sight are kept, and good lots of that time", () => {
  const seen = inSight(picture, { from: 100, to: 160 }, new Set(["pot"]), true);
  assert.deepEqual(seen.lines.map(({ label }) => label), ["jug"]);
  assert.deepEqual(seen.bands.map(({ label }) => label), ["pour"]);
  assert.deepEqual(seen.stretches[0]?.t, [50, 100, 150, 200]);
  assert.deepEqual([seen.from, seen.to], [100, 160]);
});

test("over the whole lot every window stays", () => {
  const seen = inSight(picture, { from: 0, to: 200 }, new Set(), false);
  assert.equal(seen.bands.length, 2);
  assert.equal(seen.stretches, picture.stretches);
});
