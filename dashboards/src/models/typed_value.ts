import type { Display, Role } from "../types.ts";
import { GRAMS_PER_OUNCE } from "./quantities.ts";

/** The units in which a person types a reading. */
export type TypedUnit = "degC" | "degF" | "g" | "oz";

export const UNIT_NAMES: Record<TypedUnit, string> = { degC: "°C", degF: "°F", g: "g", oz: "oz" };

/** The unit in which an instrument's values are on the screen. */
export function unitFor(role: Role | null, display: Display): TypedUnit {
  return role === "scale" ? display.mass : display.temperature;
}

const NUMBER = /^\s*[-+\u2212]?\d+([.,]\d+)?\s*$/;

/** Reads a number with a point or a comma; null where the text is none. */
export function typedNumber(text: string): number | null {
  if (!NUMBER.test(text)) return null;
  return Number(text.replace(",", ".").replace("\u2212", "-"));
}

interface Plausible {
  low: number;
  high: number;
}

/** Degrees Celsius that wax or a workshop may have; our own bounds, no source. */
const TEMPERATURE: Plausible = { low: -20, high: 150 };
/** A mass on a tared scale that a person types is what she weighs. */
const MASS: Plausible = { low: 0, high: Infinity };

const PLAUSIBLE: Record<TypedUnit, Plausible> = {
  degC: TEMPERATURE, degF: TEMPERATURE, g: MASS, oz: MASS,
};

/** Degrees Celsius or grams of what a unit counts. */
export const TO_METRIC: Record<TypedUnit, (value: number) => number> = {
  degC: (value) => value,
  degF: (value) => (value - 32) / 1.8, // NIST SP 811 (2008), appendix B.8
  g: (value) => value,
  oz: (value) => value * GRAMS_PER_OUNCE,
};

/** Whether a slip of the finger is likelier than the value: it is asked about once more. */
export function isSuspicious(value: number, unit: TypedUnit): boolean {
  const metric = TO_METRIC[unit](value);
  const { low, high } = PLAUSIBLE[unit];
  return metric < low || metric > high;
}
