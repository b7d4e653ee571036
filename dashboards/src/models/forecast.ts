import type { BenchState, Forecast } from "../types.ts";
import type { Ahead, TimeUnit } from "../words/time_ahead.ts";

interface Grain {
  unit: TimeUnit;
  seconds: number;
  step: number;
  /** Up to this many seconds the unit is used. */
  upTo: number;
}

const GRAINS: readonly [Grain, Grain, Grain] = [
  { unit: "s", seconds: 1, step: 5, upTo: 90 },
  { unit: "min", seconds: 60, step: 1, upTo: 7200 },
  { unit: "h", seconds: 3600, step: 1, upTo: Infinity },
];

/** An interval is narrow below this share of what it foretells, or below so many seconds. */
const NARROW_SHARE = 0.2;
const NARROW_S = 30;

function grainOf(seconds: number): Grain {
  return GRAINS.find(({ upTo }) => seconds < upTo) ?? GRAINS[2];
}

function isNarrow({ soonest, likely, latest }: Forecast): boolean {
  const width = latest - soonest;
  return width < NARROW_SHARE * likely || width < NARROW_S;
}

/** What is left of a forecast, `passedS` seconds after it was made. */
export function ahead(forecast: Forecast, passedS: number): Ahead {
  const left = (seconds: number): number => Math.max(0, seconds - passedS);
  const [soonest, likely, latest] = [
    left(forecast.soonest), left(forecast.likely), left(forecast.latest),
  ];
  if (latest === 0) return { kind: "now" };
  const about = inGrains(likely, grainOf(likely));
  if (isNarrow(forecast)) return about;
  const { unit, seconds, step } = grainOf(latest);
  const from = Math.floor(soonest / seconds / step) * step;
  const to = Math.ceil(latest / seconds / step) * step;
  return { kind: "between", from, to, unit };
}

function inGrains(seconds: number, grain: Grain): Ahead {
  const n = Math.round(seconds / grain.seconds / grain.step) * grain.step;
  return n === 0 ? { kind: "now" } : { kind: "about", n, unit: grain.unit };
}

/** Seconds of the workshop since a status was made; never negative. */
export function passedSince(at: BenchState["at"], nowMs: number): number {
  return Math.max(0, (nowMs - Date.parse(at)) / 1000);
}

export type Trend = "falling" | "rising" | "steady";

/** Degrees Celsius per minute that count as standing still; our own bound, no source. */
const STEADY = 0.05;

export function trendOf(degcPerMin: number): Trend {
  if (Math.abs(degcPerMin) < STEADY) return "steady";
  return degcPerMin < 0 ? "falling" : "rising";
}
