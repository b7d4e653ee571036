import type { Display } from "../types.ts";
import { mass, temperature, temperatureStep, text } from "./quantities.ts";
import type { WallTime } from "./wall_time.ts";

/** How a person reads what was measured: in her units, on her wall clock. */
export interface Say {
  /** "14:03:07" */
  time(at: string): string;
  day(at: string): string;
  /** "82.1 °C" */
  degrees(degC: number): string;
  /** A difference of temperatures, without its sign. */
  degreesApart(degC: number): string;
  /** "80.0 to 85.0 °C" */
  window(window: { low: number; high: number }, to: string): string;
  grams(grams: number): string;
  /** A difference of masses, without its sign. */
  gramsApart(grams: number): string;
}

export function sayIn(display: Display, wall: WallTime): Say {
  return {
    time: (at) => wall.time(at),
    day: (at) => wall.day(at),
    degrees: (degC) => text(temperature(degC, display)),
    degreesApart: (degC) => text(temperatureStep(Math.abs(degC), display)),
    window: ({ low, high }, to) =>
      `${temperature(low, display).digits} ${to} ${text(temperature(high, display))}`,
    grams: (grams) => text(mass(grams, display)),
    gramsApart: (grams) => text(mass(Math.abs(grams), display)),
  };
}
