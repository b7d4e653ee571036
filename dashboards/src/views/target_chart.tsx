import type { JSX } from "preact";
import type { Say } from "../models/say.ts";
import { GUTTER, dotPlot } from "../models/target_dots.ts";
import type { Dot, DotPlot, Target } from "../models/target_dots.ts";
import { targets as words } from "../words.ts";
import { useWidth } from "./use_width.ts";

const HEIGHT = 200;
const FOOT = 22;
const MINUS = "\u2212";

interface ChartProps {
  title: string;
  targets: readonly Target[];
  say: Say;
}

/** Each weighing as a dot above or below its target, its tolerance as a band behind it. */
export function TargetChart({ title, targets, say }: ChartProps): JSX.Element {
  const [host, width] = useWidth<HTMLDivElement>();
  const plot = dotPlot(targets, width, HEIGHT);
  const outside = plot.dots.filter((dot) => dot.outside !== null)
    .map((dot) => words.difference(dot.name, say.gramsApart(dot.off), dot.outside ?? "over"));
  const label = words.drawn(title, targets.length, outside);
  return (
    <div class="scroll target-host" role="group" aria-label={title} tabIndex={0} ref={host}>
      <svg
        class="target-chart" role="img" aria-label={label}
        width={plot.width} height={plot.height + FOOT}
      >
        <Ground plot={plot} say={say} />
        {plot.dots.map((dot) => <DotMark key={dot.name} dot={dot} plot={plot} say={say} />)}
      </svg>
    </div>
  );
}

function Ground({ plot, say }: { plot: DotPlot; say: Say }): JSX.Element {
  const [first] = plot.bands;
  const edge = say.gramsApart(plot.widest);
  return (
    <g>
      {plot.bands.map(({ x, width, top, bottom }) => (
        <rect key={x} class="tolerance" x={x} width={width} y={top} height={bottom - top} />
      ))}
      <line class="target" x1={GUTTER} x2={plot.width} y1={plot.zero} y2={plot.zero} />
      <text class="edge" x={GUTTER - 6} y={plot.zero + 5} text-anchor="end">{words.target}</text>
      {first === undefined ? null : (
        <>
          <text class="edge" x={GUTTER - 6} y={first.top + 5} text-anchor="end">+{edge}</text>
          <text class="edge" x={GUTTER - 6} y={first.bottom + 5} text-anchor="end">
            {MINUS}{edge}
          </text>
        </>
      )}
    </g>
  );
}

/** A round dot within its tolerance; outside it a triangle that points away, and its number. */
function DotMark({ dot, plot, say }: { dot: Dot; plot: DotPlot; say: Say }): JSX.Element {
  const { x, y, off, outside, short, name } = dot;
  const by = say.gramsApart(off);
  return (
    <g class={outside === null ? "dot" : "dot outside"}>
      <title>
        {off === 0 ? words.exact(name) : words.difference(name, by, off > 0 ? "over" : "under")}
      </title>
      <line class="stem" x1={x} x2={x} y1={plot.zero} y2={y} />
      {outside === null
        ? <circle cx={x} cy={y} r="5" />
        : <path d={outside === "over" ? arrow(x, y, -1) : arrow(x, y, 1)} />}
      {outside === null ? null : (
        <text x={x} y={outside === "over" ? y - 12 : y + 22} text-anchor="middle">
          {off > 0 ? "+" : MINUS}{by}
        </text>
      )}
      <text class="edge" x={x} y={plot.height + FOOT - 6} text-anchor="middle">{short}</text>
    </g>
  );
}

function arrow(x: number, y: number, away: 1 | -1): string {
  return `M${x} ${y + 8 * away}L${x + 8} ${y - 6 * away}H${x - 8}Z`;
}
