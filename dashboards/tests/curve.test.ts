import assert from "node:assert/strict";
import { test } from "node:test";
import { align } from "../src/models/aligned.ts";
import { Curve } from "../src/models/curve.ts";

const curve = (): Curve => new Curve("east-pitcher", 100, 1, 10);
const history = (t: number[], value: (number | null)[]): Parameters<Curve["load"]>[0] => ({
  channel: "east-pitcher", unit: "degC", t, value,
});

test("times ascend without repeats, whatever order readings come in", () => {
  const line = curve();
  for (const t of [1, 2, 2, 1.5, 3.5, 3, 5]) line.push(t, 80);
  assert.deepEqual(line.t, [1, 2, 3.5, 5]);
});

test("a long silence becomes a gap and not a straight line", () => {
  const line = curve();
  line.push(1, 80);
  line.push(30, 70);
  assert.deepEqual(line.value, [80, null, 70]);
});

test("a curve is bounded, however long the page stays open", () => {
  const line = curve();
  for (let t = 0; t < 10_000; t += 1) line.push(t, 80);
  assert.ok(line.t.length <= 110, `${line.t.length} points`);
  assert.equal(line.t.at(-1), 9_999);
  assert.ok((line.t[0] ?? 0) >= 9_999 - 110);
});

test("history goes before what came live while it was fetched", () => {
  const line = curve();
  line.push(50, 81);
  line.push(52, 82);
  line.load(history([48, 49, 50.5], [79, null, 80]));
  assert.deepEqual(line.t, [48, 49, 50.5, 52]);
  assert.deepEqual(line.value, [79, null, 80, 82]);
});

test("lines of different times share one axis; only a real gap is null", () => {
  const aligned = align([
    { t: [1, 3], value: [80, null] },
    { t: [2, 3], value: [90, 91] },
  ]);
  assert.deepEqual(aligned.t, [1, 2, 3]);
  assert.deepEqual(aligned.values, [[80, undefined, null], [undefined, 90, 91]]);
});
