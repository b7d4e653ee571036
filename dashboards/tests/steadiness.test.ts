import assert from "node:assert/strict";
import { test } from "node:test";
import { USUAL_STEP, steadiness } from "../src/models/steadiness.ts";
import type { ShownValue } from "../src/models/steadiness.ts";

/** A value each second. */
const each = (...values: number[]): ShownValue[] => values.map((value, at) => ({ at, value }));
const NEED_S = 20;

test("without a value it waits", () => {
  assert.deepEqual(
    steadiness([], USUAL_STEP, NEED_S),
    { kind: "waiting", forS: 0, needS: NEED_S, latest: null, value: null },
  );
});

test("a display that stands still becomes steady when its time is full, and not before", () => {
  const still = each(...Array.from({ length: 21 }, () => 0.4));
  assert.equal(steadiness(still.slice(0, 20), 0.062, NEED_S).kind, "moving");
  const full = steadiness(still, 0.062, NEED_S);
  assert.deepEqual([full.kind, full.forS, full.value], ["steady", 20, 0.4]);
});

test("flicker between two neighboring steps is steady, and their mean is taken", () => {
  const flicker = each(...Array.from({ length: 22 }, (_, at) => (at % 2 === 0 ? 0.375 : 0.437)));
  const found = steadiness(flicker, 0.062, NEED_S);
  assert.deepEqual([found.kind, found.value, found.latest], ["steady", 0.406, 0.437]);
});

test("tenths count as one step although binary fractions miss them by a little", () => {
  for (const low of [0.1, 0.2, 0.3, 199.4, 57.0]) {
    const values = each(...Array.from({ length: 21 }, (_, at) => (at % 2 === 0 ? low : low + 0.1)));
    assert.equal(steadiness(values, 0.1, NEED_S).kind, "steady", String(low));
  }
});

test("a jump of two steps begins anew", () => {
  const values = each(...Array.from({ length: 30 }, () => 0.4), 0.53, 0.53, 0.53);
  const found = steadiness(values, 0.062, NEED_S);
  assert.deepEqual([found.kind, found.forS, found.value], ["moving", 2, 0.53]);
});

test("a slow creep never stands still, although no two neighbors differ by a step", () => {
  const creep = each(...Array.from({ length: 100 }, (_, at) => 20 - at * 0.02));
  const found = steadiness(creep, 0.062, NEED_S);
  assert.equal(found.kind, "moving");
  assert.ok(found.forS <= 4);
});
