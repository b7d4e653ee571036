import { differenceOf, isOutside } from "./fills.ts";
import type { Weighed } from "./fills.ts";

/** A weighing that is to be drawn. */
export interface Target extends Weighed {
  name: string;
  short: string;
}

/** One weighing as it is drawn; positions in pixels from the top left. */
export interface Dot {
  name: string;
  short: string;
  x: number;
  y: number;
  off: number;
  /** On which side of its tolerance it is; null within it. */
  outside: "over" | "under" | null;
}

export interface DotPlot {
  width: number;
  height: number;
  /** Where the target itself is. */
  zero: number;
  /** The tolerance, each dot's own: they differ where pitchers differ. */
  bands: { x: number; width: number; top: number; bottom: number }[];
  /** Grams at the upper and at the lower edge of the widest tolerance. */
  widest: number;
  dots: Dot[];
}

/** Room for each dot and its number. */
const LEAST_STEP = 44;
/** Room above and below for the numbers of those outside. */
const MARGIN = 26;
/** Room to the left for the words on the lines. */
export const GUTTER = 76;

/** Lays weighings side by side, by how far each is from its target. */
export function dotPlot(targets: readonly Target[], least: number, height: number): DotPlot {
  const widest = Math.max(...targets.map(({ tolerance }) => tolerance), Number.MIN_VALUE);
  const most = Math.max(widest * 1.5, ...targets.map((each) => Math.abs(differenceOf(each))));
  const step = Math.max(LEAST_STEP, (least - GUTTER) / Math.max(1, targets.length));
  const zero = height / 2;
  const y = (off: number): number => zero - (off / most) * (zero - MARGIN);
  const x = (place: number): number => GUTTER + step * (place + 0.5);
  return {
    width: GUTTER + step * targets.length, height, zero, widest,
    bands: targets.map(({ tolerance }, place) => ({
      x: GUTTER + step * place, width: step, top: y(tolerance), bottom: y(-tolerance),
    })),
    dots: targets.map((target, place) => ({
      name: target.name, short: target.short, x: x(place), y: y(differenceOf(target)),
      off: differenceOf(target), outside: sideOf(target),
    })),
  };
}

function sideOf(target: Target): Dot["outside"] {
  if (!isOutside(target)) return null;
  return differenceOf(target) > 0 ? "over" : "under";
}
