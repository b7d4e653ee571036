import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import type { Picture } from "../chart.ts";
import { SPAN_MINUTES } from "../models/bench_curves.ts";
import type { BenchScreenModel } from "../models/bench_screen.ts";
import { bandsOf, linesOf, marksOf, rangeOf, spansOf } from "../models/pictures.ts";
import type { RoleLine } from "../models/pictures.ts";
import { temperature, text } from "../models/quantities.ts";
import { chart as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const HEIGHT = 320;
/** A bench that has just begun shows this much time at least. */
const SHORTEST_S = 600;

/** The last hour of the bench's temperatures, with the open lot's windows, phases and weighings. */
export function BenchChart({ screen }: { screen: BenchScreenModel }): JSX.Element {
  const { workshop } = screen;
  const picture = useComputed(() => benchPicture(screen)).value;
  const values = useComputed(() => spoken(screen)).value;
  return (
    <ChartView
      title={words.temperatures} label={words.label(words.temperatures, values)}
      unit={workshop.preferences.display.value.temperature === "degC" ? "°C" : "°F"}
      height={HEIGHT} wall={workshop.wall.value} picture={picture}
    />
  );
}

function benchPicture(screen: BenchScreenModel): Picture {
  const { workshop } = screen;
  const display = workshop.preferences.display.value;
  const nowS = workshop.clock.second.value;
  const lot = screen.lot.value?.lot.value ?? null;
  const lines = linesOf(roleLines(screen), display);
  const from = Math.max(nowS - SPAN_MINUTES * 60, Math.min(lines.t[0] ?? nowS, nowS - SHORTEST_S));
  return {
    ...lines,
    ...rangeOf(from, nowS),
    bands: lot === null ? [] : bandsOf(lot, display),
    spans: lot === null ? [] : spansOf(lot, nowS),
    marks: lot === null ? [] : marksOf(lot),
    stretches: [],
  };
}

function roleLines(screen: BenchScreenModel): RoleLine[] {
  const here = screen.workshop.instruments.at(screen.bench.name);
  const roles = new Map(here.map(({ name, role }) => [name, role]));
  return screen.curves.curves.value.map((curve) => {
    curve.changed.value; // redraws with the curve, whose points are no signals
    return {
      channel: curve.channel, role: roles.get(curve.channel) ?? "pitcher",
      t: curve.t, value: curve.value,
    };
  });
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
