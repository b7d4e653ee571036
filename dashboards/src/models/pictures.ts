import type { Aligned } from "./aligned.ts";
import { align } from "./aligned.ts";
import type { Line } from "./aligned.ts";
import type { Display, GoodLots, Lot, Role } from "../types.ts";
import { massNumber, temperature, temperatureNumber, text } from "./quantities.ts";
import { chart as words, phaseName } from "../words.ts";

/** What is marked on a chart; times in epoch seconds, values in the display's unit. */
export interface Notes {
  bands: { low: number; high: number; label: string }[];
  spans: { from: number; to: number; label: string; kind: "phase" | "gap" }[];
  marks: { at: number; label: string; kind: "weighing" | "addition" | "deviation" }[];
  stretches: { t: number[]; low: number[]; high: number[] }[];
}

/** Which channel a line is of. */
export interface LineOf {
  channel: string;
  role: Role;
}

export type RoleLine = Line & LineOf;

const STYLES: Record<Role, 0 | 1 | 2 | 3> = { pitcher: 0, pot: 1, room: 2, scale: 3 };

export interface StyledLines extends Aligned {
  lines: { label: string; style: 0 | 1 | 2 | 3; values: Aligned["values"][number] }[];
}

/** Lines on one axis of time, in the display's unit, with a style by what they are used for. */
export function linesOf(curves: readonly RoleLine[], display: Display): StyledLines {
  return styled(curves, align(curves), display);
}

/** The same where they are on one axis already. */
export function styled(of: readonly LineOf[], aligned: Aligned, display: Display): StyledLines {
  const lines = of.map(({ channel, role }, index) => {
    const shown = role === "scale" ? massNumber : temperatureNumber;
    const values = (aligned.values[index] ?? []).map(
      (value) => value === null || value === undefined ? value : shown(value, display),
    );
    return { label: channel, style: STYLES[role], values };
  });
  return { ...aligned, lines };
}

const seconds = (at: string): number => Date.parse(at) / 1000;

/** Windows and the limit of the recipe as bands of temperature. */
export function bandsOf(lot: Lot, display: Display): Notes["bands"] {
  const { windows, never_above: never } = lot.recipe;
  const band = (low: number, high: number, label: string): Notes["bands"][number] => ({
    low: temperatureNumber(low, display), high: temperatureNumber(high, display), label,
  });
  const range = (low: number, high: number): string =>
    `${temperature(low, display).digits} – ${text(temperature(high, display))}`;
  const bands: Notes["bands"] = [];
  const { add, pour } = windows;
  if (add !== null) bands.push(band(add.low, add.high, words.add(range(add.low, add.high))));
  if (pour !== null) bands.push(band(pour.low, pour.high, words.pour(range(pour.low, pour.high))));
  if (never !== null) {
    bands.push(band(never, never, words.never(text(temperature(never, display)))));
  }
  return bands;
}

/** Where good lots were, a stretch after each event. */
export function stretchesOf(good: GoodLots | null, display: Display): Notes["stretches"] {
  const shown = (value: number): number => temperatureNumber(value, display);
  return (good?.stretches ?? []).map(({ t, low, high }) => ({
    t, low: low.map(shown), high: high.map(shown),
  }));
}

/** Phases and gaps as stretches of time; what still goes on ends at `nowS`. */
export function spansOf(lot: Lot, nowS: number): Notes["spans"] {
  const phases = lot.phases.map(({ phase, began, ended }) => ({
    from: seconds(began), to: ended === null ? nowS : seconds(ended),
    label: phaseName(phase), kind: "phase" as const,
  }));
  const gaps = lot.gaps.map((gap) => ({
    from: seconds(gap.from), to: seconds(gap.to), label: words.gap, kind: "gap" as const,
  }));
  return [...phases, ...gaps].sort((a, b) => a.from - b.from);
}

/** Room at both ends of a chart, as a share of its time. */
const MARGIN = 0.01;

/** The range of a chart's time, with room so that marks at its ends are whole; epoch seconds. */
export function rangeOf(from: number, to: number): { from: number; to: number } {
  const room = (to - from) * MARGIN;
  return { from: from - room, to: to + room };
}

/** Weighings, and deviations numbered as in the list of them. */
export function marksOf(lot: Lot): Notes["marks"] {
  const weighings = lot.weighings.map(({ kind, at, vessel }) => ({
    at: seconds(at),
    label: kind === "fill" && vessel !== null ? words.fill(vessel) : words.weighing[kind],
    kind: kind === "fill" ? "weighing" as const : "addition" as const,
  }));
  const deviations = lot.deviations.map(({ raised_at: at }, index) => ({
    at: seconds(at), label: String(index + 1), kind: "deviation" as const,
  }));
  return [...weighings, ...deviations];
}
