import { useMemo } from "preact/hooks";
import type { JSX } from "preact";
import type { Picture } from "../chart.ts";
import { unitsOf } from "../models/lot_read_out.ts";
import type { LotScreen } from "../models/lot_screen.ts";
import { chart as words } from "../words.ts";
import { ChartView } from "./chart_view.tsx";

const TEMPERATURE_HEIGHT = 340;
const MASS_HEIGHT = 220;

/** All channels of the lot: temperatures above, the scale below, one span and cursor for both. */
export function LotCharts({ screen }: { screen: LotScreen }): JSX.Element | null {
  const { view, workshop } = screen;
  const pointing = useMemo(() => ({
    cursor: view.cursor,
    point: (at: number) => view.point(at),
    choose: (from: number, to: number) => view.choose(from, to),
    zoom: (factor: number, at: number) => view.zoom(factor, at),
    shift: (byS: number) => view.shift(byS),
    showWhole: () => view.showWhole(),
  }), [view]);
  const pictures = screen.pictures.value;
  if (pictures === null) return null;
  const { warm, heavy } = pictures;
  const units = unitsOf(workshop.preferences.display.value);
  const shared = { wall: workshop.wall.value, pointing, legend: null };
  return (
    <>
      <ChartView
        {...shared} title={words.lotTemperatures} label={label(words.lotTemperatures, warm)}
        unit={units.warm.unit} height={TEMPERATURE_HEIGHT} picture={warm}
        mounted={screen.files.mounted}
      />
      {heavy.lines.length === 0 ? null : (
        <ChartView
          {...shared} title={words.lotMasses} label={label(words.lotMasses, heavy)}
          unit={units.heavy.unit} height={MASS_HEIGHT} picture={heavy}
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
