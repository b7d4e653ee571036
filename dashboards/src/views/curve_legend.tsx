import type { JSX } from "preact";
import type { LineStyle } from "../chart.ts";
import type { CurveView } from "../models/curve_view.ts";
import { chart, curve as words } from "../words.ts";

interface LegendProps {
  view: CurveView;
  lines: readonly { label: string; style: LineStyle }[];
  goodLots: boolean;
}

/** The lines of a chart; each is a button that switches it off and on. */
export function CurveLegend({ view, lines, goodLots }: LegendProps): JSX.Element {
  const hidden = view.hidden.value;
  return (
    <div class="legend switches" role="group" aria-label={words.lines}>
      {lines.map(({ label, style }) => (
        <button
          key={label} type="button" aria-pressed={!hidden.has(label)}
          onClick={() => view.toggle(label)}
        >
          <svg viewBox="0 0 44 12" aria-hidden="true">
            <line class={`line-${style}`} x1="0" x2="44" y1="6" y2="6" />
          </svg>
          <span>{label}</span>
        </button>
      ))}
      {goodLots ? (
        <span class="key">
          <svg viewBox="0 0 44 12" aria-hidden="true">
            <rect class="good-lots" x="0.5" y="0.5" width="43" height="11" />
          </svg>
          {chart.goodLots}
        </span>
      ) : null}
    </div>
  );
}
