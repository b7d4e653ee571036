import { useMemo } from "preact/hooks";
import type { JSX } from "preact";
import type { MountedChart, Picture } from "../chart.ts";
import { bandsOf, linesOf, marksOf, rangeOf, spansOf, stretchesOf } from "../models/pictures.ts";
import type { RoleLine } from "../models/pictures.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { CurveData, Display, GoodLots, Lot } from "../types.ts";
import { chart as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const TEMPERATURE_HEIGHT = 340;
const MASS_HEIGHT = 220;

interface LotChartsProps {
  workshop: WorkshopModel;
  lot: Lot;
  curves: CurveData[];
  goodLots: GoodLots | null;
  /** Told of the chart of the temperatures. */
  mounted: (chart: MountedChart | null) => void;
}

/** All channels of the lot over its span: temperatures above, the scale below. */
export function LotCharts(props: LotChartsProps): JSX.Element {
  const { workshop, lot, curves, goodLots, mounted } = props;
  const display = workshop.preferences.display.value;
  const [warm, heavy] = useMemo(
    () => pictures(lot, curves, goodLots, display), [lot, curves, goodLots, display],
  );
  const shared = { wall: workshop.wall.value };
  return (
    <>
      <ChartView
        {...shared} title={words.lotTemperatures} label={label(words.lotTemperatures, warm)}
        unit={display.temperature === "degC" ? "°C" : "°F"} height={TEMPERATURE_HEIGHT}
        picture={warm} mounted={mounted}
      />
      {heavy.lines.length === 0 ? null : (
        <ChartView
          {...shared} title={words.lotMasses} label={label(words.lotMasses, heavy)}
          unit={display.mass} height={MASS_HEIGHT} picture={heavy}
        />
      )}
    </>
  );
}

function label(title: string, picture: Picture): string {
  const names = picture.lines.map((line) => line.label);
  if (picture.stretches.length > 0) names.push(words.goodLots);
  return words.label(title, names.join(", "));
}

function pictures(
  lot: Lot, curves: CurveData[], goodLots: GoodLots | null, display: Display,
): [Picture, Picture] {
  const roles = new Map(lot.channels.map(({ channel, role }) => [channel, role]));
  const lines = curves.map((curve) => ({ ...curve, role: roles.get(curve.channel) ?? "room" }));
  const from = Date.parse(lot.opened_at) / 1000;
  const to = endOf(lot, lines);
  const notes = { ...rangeOf(from, to), spans: spansOf(lot, to), marks: marksOf(lot) };
  const of = (wanted: (line: RoleLine) => boolean): ReturnType<typeof linesOf> =>
    linesOf(lines.filter(wanted), display);
  return [
    {
      ...of((line) => line.role !== "scale"), ...notes, bands: bandsOf(lot, display),
      stretches: stretchesOf(goodLots, display),
    },
    { ...of((line) => line.role === "scale"), ...notes, bands: [], stretches: [] },
  ];
}

/** Where the lot's span ends: its closing, or the last that was collected. */
function endOf(lot: Lot, lines: RoleLine[]): number {
  if (lot.closed_at !== null) return Date.parse(lot.closed_at) / 1000;
  const began = Date.parse(lot.opened_at) / 1000;
  return Math.max(began + 60, ...lines.map((line) => line.t.at(-1) ?? 0));
}
