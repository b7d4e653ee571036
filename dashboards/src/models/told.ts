import type { Display } from "../types.ts";
import { mass, temperature, temperatureStep } from "./quantities.ts";
import type { Shown } from "./quantities.ts";
import { TO_METRIC } from "./typed_value.ts";
import type { TypedUnit } from "./typed_value.ts";

const UNITS: Record<string, TypedUnit> = { "°C": "degC", "°F": "degF", "g": "g", "oz": "oz" };

/** With a decimal, as the service writes what it measured; "220 g" in a name is no measure. */
const MASS = /(\d+\.\d+) (g|oz)\b/g;
/** A temperature, or a window of them, where the words before it say that it is one. */
const TEMPERATURE = new RegExp(
  "(?<!\\d )\\b(at|to|limit of|ends below) (-?\\d+\\.\\d) (°C|°F)"
    + "(?! (?:a minute|per|under|over|above|below)\\b|\\/)", "g",
);
const WINDOW = /\b(is|for|of) (-?\d+\.\d) to (-?\d+\.\d) (°C|°F)/g;
/** How fast a temperature changes: a difference, too. */
const RATE = /(-?\d+\.\d) (°C|°F) a minute/g;
/** A difference of temperatures, where the words around it say that it is one. */
const STEP = /\bby (about )?(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? (°C|°F)(?! a minute)/g;
const APART = /(\d+\.\d+) (°C|°F)(?= (?:under|over|above|below)\b)/g;

/** The service's words with their masses and temperatures in the units that a person reads. */
export function told(text: string, display: Display): string {
  return text
    .replace(MASS, (whole, grams: string, unit: string) =>
      converted(whole, unit, display.mass, () => joined(shown(grams, unit, display))))
    .replace(RATE, (whole, degrees: string, unit: string) =>
      converted(whole, unit, display.temperature, () =>
        `${joined(step(degrees, unit, display))} a minute`))
    .replace(WINDOW, (whole, before: string, low: string, high: string, unit: string) =>
      converted(whole, unit, display.temperature, () =>
        `${before} ${shown(low, unit, display).digits} to ${joined(shown(high, unit, display))}`))
    .replace(TEMPERATURE, (whole, before: string, degrees: string, unit: string) =>
      converted(whole, unit, display.temperature, () =>
        `${before} ${joined(shown(degrees, unit, display))}`))
    .replace(STEP, (whole, about: string | undefined, low: string, high: string | undefined,
      unit: string) => converted(whole, unit, display.temperature, () => {
      const [first, last] = [low, high ?? low].map((each) => step(each, unit, display));
      const span = high === undefined ? "" : `${first?.digits} to `;
      return `by ${about ?? ""}${span}${last?.digits} ${last?.unit}`;
    }))
    .replace(APART, (whole, degrees: string, unit: string) =>
      converted(whole, unit, display.temperature, () => joined(step(degrees, unit, display))));
}

/** A difference in the other unit: the scales have their zeros apart, so they do not count. */
function step(digits: string, unit: string, display: Display): Shown {
  const metric = UNITS[unit] === "degF" ? Number(digits) / 1.8 : Number(digits);
  return temperatureStep(metric, display);
}

/** What is in the person's unit already stays digit for digit. */
function converted(whole: string, unit: string, wanted: TypedUnit, other: () => string): string {
  return UNITS[unit] === wanted ? whole : other();
}

function shown(digits: string, unit: string, display: Display): Shown {
  const typed = UNITS[unit] ?? "g";
  const metric = TO_METRIC[typed](Number(digits));
  return typed === "g" || typed === "oz" ? mass(metric, display) : temperature(metric, display);
}

function joined({ digits, unit }: Shown): string {
  return `${digits} ${unit}`;
}
