import type { JSX } from "preact";
import { figuresOf } from "../models/fills.ts";
import type { Figures } from "../models/fills.ts";
import type { Say } from "../models/say.ts";
import type { Target } from "../models/target_dots.ts";
import type { Lot, Weighing } from "../types.ts";
import { targets as words, weighings } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { TargetChart } from "./target_chart.tsx";
import "./target_panel.css";

const KINDS: readonly Weighing["kind"][] = ["fill", "wax", "fragrance"];
const TITLES = { fill: words.fills, wax: words.wax, fragrance: words.fragrance };

/** Every weighing by how far it is from its target, each kind for itself. */
export function TargetPanel({ screen, lot }: LotPanelProps): JSX.Element | null {
  if (lot.weighings.length === 0) return null;
  return (
    <section class="panel wide targets" aria-label={words.title}>
      <h2>{words.title}</h2>
      <div class="target-kinds">
        {KINDS.map((kind) => <Kind key={kind} kind={kind} lot={lot} say={screen.say.value} />)}
      </div>
    </section>
  );
}

function Kind(props: { kind: Weighing["kind"]; lot: Lot; say: Say }): JSX.Element | null {
  const { kind, lot, say } = props;
  const targets = lot.weighings.filter((weighing) => weighing.kind === kind).map(targetOf);
  const figures = figuresOf(targets);
  if (figures === null) return null;
  return (
    <div class={`target-kind ${kind}`}>
      <h3>{TITLES[kind]}</h3>
      <TargetChart title={TITLES[kind]} targets={targets} say={say} />
      {kind === "fill" ? <FillFigures figures={figures} say={say} /> : null}
    </div>
  );
}

function targetOf(weighing: Weighing): Target {
  const { kind, pitcher, vessel, grams, target, tolerance } = weighing;
  const measured = { grams, target, tolerance };
  if (kind === "fill") {
    const n = vessel ?? 0;
    return { ...measured, name: weighings.fill(n), short: words.vessel(n) };
  }
  const short = words.pitcher(pitcher);
  return { ...measured, name: weighings[kind](pitcher), short };
}

function FillFigures({ figures, say }: { figures: Figures; say: Say }): JSX.Element {
  const { n, mean, deviation, least, most, outside } = figures;
  const rows: readonly [string, string][] = [
    [words.n, String(n)],
    [words.mean, say.grams(mean)],
    [words.deviation, deviation === null ? words.one : say.grams(deviation)],
    [words.range, `${say.grams(least)} ${words.to} ${say.grams(most)}`],
    [words.outside, String(outside)],
  ];
  return (
    <dl class="fill-figures">
      {rows.map(([name, value]) => (
        <div key={name}><dt class="soft">{name}</dt><dd class="digits">{value}</dd></div>
      ))}
    </dl>
  );
}
