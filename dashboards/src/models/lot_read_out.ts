import type { Picture } from "../chart.ts";
import type { Display, Lot, Weighing } from "../types.ts";
import { curve as words, weighings } from "../words.ts";
import { nearestOf, phasesAt, valueAt } from "./read_out.ts";
import type { ReadValue } from "./read_out.ts";
import type { Say } from "./say.ts";

/** What was true at one moment of a lot. */
export interface LotReadOut {
  at: number;
  phases: string[];
  values: ReadValue[];
  /** The nearest weighing and a deviation close by, named, and how far off they are. */
  nearest: string[];
}

/** A deviation that is further off than this has nothing to do with the moment; seconds. */
const FAR_S = 300;
const UNIT = { degC: "°C", degF: "°F" } as const;

/** Reads both charts at a moment (epoch seconds). */
export function lotReadOut(
  lot: Lot, pictures: readonly { picture: Picture; unit: string; decimals: number }[], at: number,
  say: Say, told: (text: string) => string,
): LotReadOut {
  const values = pictures.flatMap(({ picture: { t, lines }, unit, decimals }) =>
    lines.map(({ label, values }) => valueAt({ label, unit, decimals, t, values }, at)));
  const weighed = nearestOf(lot.weighings.map((weighing) => ({
    at: Date.parse(weighing.at) / 1000,
    name: words.weighing(weighingName(weighing), say.grams(weighing.grams)),
  })), at);
  const deviation = nearestOf(lot.deviations.map(({ raised_at, message }, place) => ({
    at: Date.parse(raised_at) / 1000, name: words.deviation(place + 1, told(message)),
  })), at);
  const near = deviation !== null && Math.abs(deviation.later) <= FAR_S ? deviation : null;
  const found = [weighed, near].filter((one) => one !== null);
  return {
    at, values, phases: phasesAt(lot, at, words.pitcher),
    nearest: found.map(({ name, later }) => words.nearest(name, later)),
  };
}

/** "Wax, pitcher 1" or "Vessel 3". */
export function weighingName({ kind, pitcher, vessel }: Weighing): string {
  if (kind === "wax") return weighings.wax(pitcher);
  return kind === "fragrance" ? weighings.fragrance(pitcher) : weighings.fill(vessel ?? 0);
}

/** The units of the two charts, and how many decimals their readings have. */
export function unitsOf(display: Display): { warm: Units; heavy: Units } {
  return {
    warm: { unit: UNIT[display.temperature], decimals: 1 },
    heavy: { unit: display.mass, decimals: display.mass === "oz" ? 2 : 1 },
  };
}

interface Units {
  unit: string;
  decimals: number;
}
