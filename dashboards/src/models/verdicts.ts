import type { Bounds, ScaleTask } from "../types.ts";

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
