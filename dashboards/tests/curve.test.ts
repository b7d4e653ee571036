import assert from "node:assert/strict";
import { test } from "node:test";
import { align } from "../src/models/aligned.ts";
import { Curve } from "../src/models/curve.ts";
import type { CurveData } from "../src/types.ts";

const SPAN_S = 3600;

const curve = (): Curve => new Curve("east-pitcher", SPAN_S);
const times = (line: Curve): number[] => [...line.samples.t];
const values = (line: Curve): (number | null)[] =>
  [...line.samples.value].map((value) => Number.isNaN(value) ? null : value);
const piece = (t: number[], value: (number | null)[] = t): CurveData => ({
  channel: "east-pitcher", unit: "degC", t, value,
});

/** A curve that has its history. */
function begun(...history: number[]): Curve {
  const line = curve();
  assert.ok(line.mend(line.seam(), piece(history)));
  return line;
}

test("every reading is kept, in ascending order and none twice", () => {
  const line = curve();
  for (const t of [1, 1.1, 1.1, 1.05, 1.2, 5]) line.push(t, 80);
  assert.deepEqual(times(line), [1, 1.1, 1.2, 5]);
});

test("a long silence becomes a gap right behind the last reading, as in the store", () => {
  const line = curve();
  line.push(1795600000.25, 80);
  line.push(1795600015.25, 79); // the longest that is none
  line.push(1795600030.250001, 70);
  assert.deepEqual(values(line), [80, 79, null, 70]);
  assert.equal(times(line)[2], 1795600015.250001);
});

test("a curve is bounded in time, however long the page stays open", () => {
  const line = curve();
  for (let tick = 0; tick < 100_000; tick += 1) line.push(tick / 10, 80);
  assert.deepEqual([times(line)[0], times(line).at(-1)], [9_999.9 - SPAN_S, 9_999.9]);
  assert.equal(times(line).length, SPAN_S * 10 + 1);
});

test("a curve is bounded in points, however fast they come", () => {
  const line = curve();
  for (let tick = 0; tick < 250_000; tick += 1) line.push(tick / 1000, 80);
  assert.equal(times(line).length, 100_000);
  assert.equal(times(line).at(-1), 249.999);
});

test("history goes before what came live while it was fetched", () => {
  const line = curve();
  const seam = line.seam();
  assert.equal(seam.from, null);
  line.push(50, 81);
  line.push(52, 82);
  assert.ok(line.mend(seam, piece([28, 28.000001, 50, 50.5], [79, null, 81, 80])));
  assert.deepEqual(times(line), [28, 28.000001, 50, 50.5, 52]);
  assert.deepEqual(values(line), [79, null, 81, 80, 82]);
  assert.ok(line.isSound);
});

test("a break is mended from a little before it, with what came live since behind it", () => {
  const line = begun(10, 11, 12);
  line.push(13, 13);
  line.breakOff();
  line.push(20, 20);
  const seam = line.seam();
  assert.equal(seam.from, 10);
  line.push(21, 21);
  assert.ok(!line.isSound);
  assert.ok(line.mend(seam, piece([10, 11, 12, 13, 14, 15, 20])));
  assert.deepEqual(times(line), [10, 11, 12, 13, 14, 15, 20, 21]);
  assert.ok(line.isSound);
});

test("of a long curve only the end is fetched again", () => {
  const line = begun(...Array.from({ length: 1000 }, (_, tick) => tick));
  line.breakOff();
  const { from } = line.seam();
  assert.ok(from !== null && from > 900, `from ${from}`);
});

test("the gap that a break made goes when readings were there all the time", () => {
  const line = begun(10);
  line.breakOff();
  line.push(40, 40);
  assert.deepEqual(values(line), [10, null, 40]);
  assert.ok(line.mend(line.seam(), piece([10, 20, 30])));
  assert.deepEqual(values(line), [10, 20, 30, 40]);
});

test("a second break while the first is being mended is mended too", () => {
  const line = begun(1, 2);
  line.breakOff();
  const seam = line.seam();
  line.push(5, 5);
  line.breakOff();
  line.push(9, 9);
  assert.ok(line.mend(seam, piece([1, 2, 3, 4, 5])));
  assert.ok(!line.isSound);
  const again = line.seam();
  assert.ok(line.mend(again, piece([1, 2, 3, 4, 5, 6, 7, 8, 9].filter((t) => t >= again.from!))));
  assert.deepEqual(times(line), [1, 2, 3, 4, 5, 6, 7, 8, 9]);
  assert.ok(line.isSound);
});

test("a piece of another store, or of times that were moved, is not put to what is held", () => {
  const line = begun(10, 11, 12);
  line.breakOff();
  const seam = line.seam();
  assert.ok(!line.mend(seam, piece([10.5, 11.5, 12.5])));
  assert.ok(!line.mend(seam, piece([10, 11, 12], [10, 11, 13])));
  assert.ok(!line.mend(seam, piece([10, 11])));
  assert.deepEqual(times(line), [10, 11, 12]);
  const whole = line.restart();
  line.push(9, 9); // the clock was set back
  assert.ok(line.mend(whole, piece([6, 7, 8])));
  assert.deepEqual(times(line), [6, 7, 8, 9]);
});

test("lines of different times share one axis; only a real gap is null", () => {
  const aligned = align([
    { t: [1, 3], value: [80, null] },
    { t: [2, 3], value: [90, 91] },
  ]);
  assert.deepEqual(aligned.t, [1, 2, 3]);
  assert.deepEqual(aligned.values, [[80, undefined, null], [undefined, 90, 91]]);
});
