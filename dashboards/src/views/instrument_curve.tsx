import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import type { Picture } from "../chart.ts";
import { inColumns } from "../models/columns.ts";
import type { InstrumentScreenModel } from "../models/instrument_screen.ts";
import { rangeOf, styled } from "../models/pictures.ts";
import { mass, temperature, text } from "../models/quantities.ts";
import type { InstrumentInFull } from "../types.ts";
import { chart, instruments as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const HEIGHT = 220;
const SPAN_S = 600;
/** A line by itself need not be told apart, and dots are hard to follow where it jitters. */
const SOLID = 0;
/** More than a chart beside others has dots. */
const COLUMNS = 1500;

interface CurveProps {
  screen: InstrumentScreenModel;
  full: InstrumentInFull;
}

/** What it gave in the last ten minutes. */
export function InstrumentCurve({ screen, full }: CurveProps): JSX.Element {
  const { workshop } = screen;
  const picture = useComputed(() => pictureOf(screen, full)).value;
  const display = workshop.preferences.display.value;
  const degrees = display.temperature === "degC" ? "°C" : "°F";
  const latest = workshop.instruments.latest(full.name);
  const shown = full.role === "scale" ? mass : temperature;
  const value = latest === null
    ? chart.noLine(full.name)
    : chart.line(full.name, text(shown(Math.round(latest.value), display)));
  return (
    <ChartView
      title={words.curve} label={chart.label(words.curve, value)}
      unit={full.role === "scale" ? display.mass : degrees}
      height={HEIGHT} wall={workshop.wall.value} picture={picture}
    />
  );
}

function pictureOf(screen: InstrumentScreenModel, full: InstrumentInFull): Picture {
  const { workshop } = screen;
  const nowS = workshop.clock.second.value;
  const display = workshop.preferences.display.value;
  const curves = screen.curves.value?.curves.value ?? [];
  for (const { pieces } of curves) pieces.value; // draws anew with each piece that comes
  const range = rangeOf(nowS - SPAN_S, nowS);
  const samples = curves.map((curve) => curve.samples);
  const lines = curves.map(({ channel }) => ({ channel, role: full.role }));
  const drawn = styled(lines, inColumns(samples, range.from, range.to, COLUMNS), display);
  return {
    ...drawn, ...range, lines: drawn.lines.map((line) => ({ ...line, style: SOLID })),
    bands: [], spans: [], marks: [], stretches: [],
  };
}
