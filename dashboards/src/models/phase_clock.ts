import type { BenchState } from "../types.ts";

/** What the clock of a phase shows, in seconds. */
export interface PhaseClock {
  kind: "elapsed" | "left" | "over";
  seconds: number;
}

/** Counts down where the phase has an end to wait for, else up; null without a phase. */
export function phaseClock(state: BenchState, nowMs: number): PhaseClock | null {
  if (state.phase_until !== null) {
    const left = Math.ceil((Date.parse(state.phase_until) - nowMs) / 1000);
    return left >= 0 ? { kind: "left", seconds: left } : { kind: "over", seconds: -left };
  }
  if (state.phase_began === null) return null;
  const elapsed = (nowMs - Date.parse(state.phase_began)) / 1000;
  return { kind: "elapsed", seconds: Math.max(0, elapsed) };
}
