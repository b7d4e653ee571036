import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import type { Picture } from "../chart.ts";
import type { InstrumentScreenModel } from "../models/instrument_screen.ts";
import { linesOf, rangeOf } from "../models/pictures.ts";
import type { RoleLine } from "../models/pictures.ts";
import { mass, temperature, text } from "../models/quantities.ts";
import type { InstrumentInFull } from "../types.ts";
import { chart, instruments as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const HEIGHT = 220;
const SPAN_S = 600;

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
  const lines = linesOf(recent(screen, full, nowS - SPAN_S), display);
  return {
    ...lines, ...rangeOf(nowS - SPAN_S, nowS), bands: [], spans: [], marks: [], stretches: [],
  };
}

function recent(screen: InstrumentScreenModel, full: InstrumentInFull, fromS: number): RoleLine[] {
  const curves = screen.curves.value?.curves.value ?? [];
  return curves.map((curve) => {
    curve.changed.value; // redraws with the curve, whose points are no signals
    const found = curve.t.findIndex((t) => t >= fromS);
    const first = found < 0 ? curve.t.length : found;
    return {
      channel: curve.channel, role: full.role,
      t: curve.t.slice(first), value: curve.value.slice(first),
    };
  });
}
