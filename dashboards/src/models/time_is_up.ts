import { effect } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { BenchState } from "../types.ts";

/**
 * Tells once when the countdown of a phase has run out; one that had run out before the screen
 * looked is not told. `second` is the workshop's time, epoch seconds; returns how to stop.
 */
export function whenTimeIsUp(
  state: ReadonlySignal<BenchState | null>, second: ReadonlySignal<number>,
  tell: (phase: string) => void,
): () => void {
  let counting: string | null = null;
  return effect(() => {
    const { phase = null, phase_until: until = null } = state.value ?? {};
    const now = second.value;
    if (phase === null || until === null) {
      counting = null;
      return;
    }
    if (Date.parse(until) / 1000 > now) counting = until;
    else if (counting === until) {
      counting = null;
      tell(phase);
    }
  });
}
