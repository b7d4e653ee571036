import type { JSX } from "preact";
import { opening as words } from "../words.ts";

const MOST = 999;

interface CounterProps {
  vessels: number;
  count: (vessels: number) => void;
}

/** A number of vessels with a large minus and plus, for a finger or an elbow. */
export function Counter({ vessels, count }: CounterProps): JSX.Element {
  const set = (wanted: number): void => count(Math.min(MOST, Math.max(1, Math.round(wanted) || 1)));
  return (
    <fieldset>
      <legend>{words.vessels}</legend>
      <div class="counter">
        <button type="button" aria-label={words.fewer} onClick={() => set(vessels - 1)}>−</button>
        <input
          type="number" inputMode="numeric" min={1} max={MOST} required
          aria-label={words.vessels} value={vessels}
          onChange={(event) => set(event.currentTarget.valueAsNumber)}
        />
        <button type="button" aria-label={words.more} onClick={() => set(vessels + 1)}>+</button>
      </div>
    </fieldset>
  );
}
