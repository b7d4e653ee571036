import assert from "node:assert/strict";
import { test } from "node:test";
import { phaseClock } from "../src/models/phase_clock.ts";
import { holdsWax, progress, standing, windowMatters } from "../src/models/verdicts.ts";
import { NOON_MS, idleBench, stirring } from "./fixtures.ts";

const WINDOW = { low: 80, high: 85 };
const TASK = { channel: "east-scale", base: 300, target: 41, tolerance: 1, what: "fragrance" };

test("both ends of a window are inside it", () => {
  assert.deepEqual(standing(80, WINDOW), { kind: "inside" });
  assert.deepEqual(standing(85, WINDOW), { kind: "inside" });
});

test("outside a window it is said by how much", () => {
  assert.deepEqual(standing(78, WINDOW), { kind: "below", by: 2 });
  assert.deepEqual(standing(88, WINDOW), { kind: "above", by: 3 });
});

test("one bound alone is judged alone, and none at all is open", () => {
  assert.deepEqual(standing(10, { low: null, high: 93 }), { kind: "inside" });
  assert.deepEqual(standing(94, { low: null, high: 93 }), { kind: "above", by: 1 });
  assert.deepEqual(standing(10, { low: null, high: null }), { kind: "open" });
});

test("a weighing within its tolerance is there, on both sides", () => {
  assert.deepEqual(progress(40, TASK), { kind: "there" });
  assert.deepEqual(progress(42, TASK), { kind: "there" });
});

test("what is missing or too much is counted to the target, not to the tolerance", () => {
  assert.deepEqual(progress(31, TASK), { kind: "to go", by: 10 });
  assert.deepEqual(progress(43, TASK), { kind: "over", by: 2 });
});

test("a vessel lifted off the scale is not a weighing", () => {
  assert.deepEqual(progress(-0.4, TASK), { kind: "to go", by: 41.4 });
  assert.deepEqual(progress(-212, TASK), { kind: "free" });
});

test("without a target, or before anything was put on, there is nothing to judge", () => {
  assert.deepEqual(progress(-1534, { ...TASK, base: null }), { kind: "free" });
  assert.deepEqual(progress(31, { ...TASK, target: null }), { kind: "free" });
});

test("a stir counts down to its end and then says how long it is over", () => {
  assert.deepEqual(phaseClock(stirring, NOON_MS + 47_000), { kind: "left", seconds: 73 });
  assert.deepEqual(phaseClock(stirring, NOON_MS + 125_000), { kind: "over", seconds: 5 });
});

test("a phase without an end counts up, and no phase has no clock", () => {
  const pouring = { ...stirring, phase_until: null };
  assert.deepEqual(phaseClock(pouring, NOON_MS + 47_000), { kind: "elapsed", seconds: 47 });
  assert.equal(phaseClock(idleBench, NOON_MS), null);
});

test("far below its window a pitcher is empty, and there is nothing to judge", () => {
  assert.equal(holdsWax(59.9, WINDOW), false);
  assert.equal(holdsWax(60, WINDOW), true);
  assert.equal(holdsWax(20, { low: null, high: 93 }), true);
});

test("a window matters while its phase goes on, or is waited for between two others", () => {
  const temperature = { channel: "east-pitcher", what: "add" as const, ...WINDOW, opens_in_s: null,
    closes_in_s: null, trend_degc_per_min: null, why: null };
  const at = (phase: string | null, state: "now" | "next" | "done"): boolean =>
    windowMatters({ ...stirring, phase, temperature, steps: [{ phase: "add fragrance", state }] });
  assert.equal(at("add fragrance", "now"), true);
  assert.equal(at(null, "next"), true);
  assert.equal(at("draw wax", "next"), false);
  assert.equal(at("stir", "done"), false);
});
