import assert from "node:assert/strict";
import { test } from "node:test";
import { signal } from "@preact/signals";
import { whenTimeIsUp } from "../src/models/time_is_up.ts";
import type { BenchState } from "../src/types.ts";
import { NOON_MS, after, stirring } from "./fixtures.ts";

const NOON_S = NOON_MS / 1000;

function counting(beganAt: number): {
  state: { value: BenchState | null }; second: { value: number }; told: string[];
} {
  const state = signal<BenchState | null>(stirring);
  const [second, told] = [signal(NOON_S + beganAt), [] as string[]];
  whenTimeIsUp(state, second, (phase) => told.push(phase));
  return { state, second, told };
}

test("the end of a countdown is told once", () => {
  const { second, told } = counting(0);
  second.value = NOON_S + 119;
  assert.deepEqual(told, []);
  second.value = NOON_S + 120;
  second.value = NOON_S + 121;
  assert.deepEqual(told, ["stir"]);
});

test("a countdown that had ended before the screen looked is not told", () => {
  const { second, told } = counting(130);
  second.value = NOON_S + 131;
  assert.deepEqual(told, []);
});

test("a phase that ends before its time is not told, the next countdown is", () => {
  const { state, second, told } = counting(0);
  state.value = { ...stirring, phase: null, phase_until: null };
  second.value = NOON_S + 150;
  assert.deepEqual(told, []);
  state.value = { ...stirring, phase_until: after(300) };
  second.value = NOON_S + 300;
  assert.deepEqual(told, ["stir"]);
});
