import type { BenchState, Bounds, ScaleTask, TemperatureTask } from "../types.ts";

/** Where a value stands against its window; `by` is how far outside, always positive. */
export type Standing =
  | { kind: "open" }
  | { kind: "inside" }
  | { kind: "below"; by: number }
  | { kind: "above"; by: number };

export function standing(value: number, bounds: Bounds): Standing {
  if (bounds.low !== null && value < bounds.low) return { kind: "below", by: bounds.low - value };
  if (bounds.high !== null && value > bounds.high) {
    return { kind: "above", by: value - bounds.high };
  }
  return bounds.low === null && bounds.high === null ? { kind: "open" } : { kind: "inside" };
}

/** Degrees Celsius below its window at which a pitcher holds no wax; our own bound, no source. */
const EMPTY_BELOW = 20;

/** Whether there is wax to judge: an empty pitcher is far below any window. */
export function holdsWax(value: number, { low }: Bounds): boolean {
  return low === null || value >= low - EMPTY_BELOW;
}

/** The phase that a window is for. */
const PHASE_OF: Record<NonNullable<TemperatureTask["what"]>, string> = {
  add: "add fragrance", pour: "pour",
};

/** Whether the window's phase goes on, or is what the bench waits for between two others. */
export function windowMatters({ temperature, steps, phase }: BenchState): boolean {
  const what = temperature?.what ?? null;
  if (what === null) return false;
  const state = steps.find((step) => step.phase === PHASE_OF[what])?.state;
  return state === "now" || (state === "next" && phase === null);
}

/** How a weighing stands against its target, once it began; `by` in grams, always positive. */
export type Progress =
  | { kind: "free" }
  | { kind: "to go"; by: number }
  | { kind: "there" }
  | { kind: "over"; by: number };

export function progress(grams: number, task: ScaleTask): Progress {
  if (task.target === null || task.base === null) return { kind: "free" };
  const missing = task.target - grams;
  const tolerance = task.tolerance ?? 0;
  // Less than what was there before: something was lifted off, nothing is being weighed.
  if (grams < -tolerance) return { kind: "free" };
  if (missing > tolerance) return { kind: "to go", by: missing };
  return missing < -tolerance ? { kind: "over", by: -missing } : { kind: "there" };
}
