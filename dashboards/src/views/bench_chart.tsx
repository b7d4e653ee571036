import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import type { Picture } from "../chart.ts";
import { SPAN_MINUTES } from "../models/bench_curves.ts";
import type { BenchScreenModel } from "../models/bench_screen.ts";
import { inColumns } from "../models/columns.ts";
import type { Curve } from "../models/curve.ts";
import { bandsOf, marksOf, rangeOf, spansOf, styled } from "../models/pictures.ts";
import type { LineOf } from "../models/pictures.ts";
import { temperature, text } from "../models/quantities.ts";
import { chart as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const HEIGHT = 320;
/** A bench that has just begun shows this much time at least. */
const SHORTEST_S = 600;

/** The last hour of the bench's temperatures, with the open lot's windows, phases and weighings. */
export function BenchChart({ screen }: { screen: BenchScreenModel }): JSX.Element {
  const { workshop } = screen;
  const moved = useComputed(() => lastMove(screen));
  const picture = useComputed(() => benchPicture(screen, moved.value)).value;
  const values = useComputed(() => spoken(screen)).value;
  return (
    <ChartView
      title={words.temperatures} label={words.label(words.temperatures, values)}
      unit={workshop.preferences.display.value.temperature === "degC" ? "°C" : "°F"}
      height={HEIGHT} wall={workshop.wall.value} picture={picture}
    />
  );
}

/** The last second at which the chart had moved on by a dot: drawing is what costs. */
function lastMove(screen: BenchScreenModel): number {
  const nowS = screen.workshop.clock.second.value;
  const step = Math.max(1, Math.floor((nowS - beginning(screen, nowS)) / window.innerWidth));
  return Math.floor(nowS / step) * step;
}

/** Where the chart begins, epoch seconds. */
function beginning(screen: BenchScreenModel, nowS: number): number {
  const begins = Math.min(nowS - SHORTEST_S, ...screen.curves.curves.value.map(beginOf));
  return Math.max(nowS - SPAN_MINUTES * 60, begins);
}

/** It is made anew as time moves and when a piece of a curve comes: a reading is less than a dot. */
function benchPicture(screen: BenchScreenModel, nowS: number): Picture {
  const { workshop } = screen;
  const display = workshop.preferences.display.value;
  const lot = screen.lot.value?.lot.value ?? null;
  const curves = screen.curves.curves.value;
  const range = rangeOf(beginning(screen, nowS), nowS);
  const samples = curves.map((curve) => curve.samples);
  return {
    ...styled(linesOf(screen, curves), inColumns(samples, range.from, range.to, dots()), display),
    ...range,
    bands: lot === null ? [] : bandsOf(lot, display),
    spans: lot === null ? [] : spansOf(lot, nowS),
    marks: lot === null ? [] : marksOf(lot),
    stretches: [],
  };
}

function beginOf(curve: Curve): number {
  curve.pieces.value; // draws anew with each piece; what the curve holds is no signal
  return curve.samples.t[0] ?? Infinity;
}

/** The columns of the widest chart that this window can show. */
function dots(): number {
  return window.innerWidth * devicePixelRatio;
}

function linesOf(screen: BenchScreenModel, curves: readonly Curve[]): LineOf[] {
  const here = screen.workshop.instruments.at(screen.bench.name);
  const roles = new Map(here.map(({ name, role }) => [name, role]));
  return curves.map(({ channel }) => ({ channel, role: roles.get(channel) ?? "pitcher" }));
}

/** The last values in words; with whole degrees, so that it does not change all the time. */
function spoken(screen: BenchScreenModel): string {
  const { workshop } = screen;
  const display = workshop.preferences.display.value;
  return screen.curves.curves.value.map(({ channel }) => {
    const latest = workshop.instruments.latest(channel);
    if (latest === null) return words.noLine(channel);
    return words.line(channel, text(temperature(Math.round(latest.value), display)));
  }).join(", ");
}
