import type { Display, Role } from "../types.ts";
import { difference, fine } from "./quantities.ts";
import type { Shown } from "./quantities.ts";

/** What a recipe sets in grams, by the name that its changes give it. */
const MASSES: ReadonlySet<string> = new Set([
  "vessel fill", "vessel tolerance", "pitcher capacity", "pitcher residue",
]);
/** What it sets in degrees, besides limits and alarms of its own. */
const TEMPERATURES: ReadonlySet<string> = new Set([
  "wax never above", "fragrance flash point", "fragrance added between", "pour between",
]);
const OWN = /^(?:limit|alarm) /;

const MASS = /(\d+(?:\.\d+)?) g\b/g;
const DEGREES = /(deadband )?(-?\d+(?:\.\d+)?)(?: to (-?\d+(?:\.\d+)?))? °C( a minute)?/g;
/** What the maker wrote herself, such as the advice of a limit, stays as she wrote it. */
const QUOTED = /("[^"]*")/;

/**
 * A line of what changed in a recipe, in the units that a person reads. The recipe's own number
 * stands beside each: a change that rounding would hide is one.
 */
export function changeTold(line: string, display: Display): string {
  const label = line.slice(0, Math.max(0, line.indexOf(": ")));
  if (MASSES.has(label) && display.mass !== "g") {
    return line.replace(MASS, (exact, grams: string) =>
      beside(exact, joined(fine(Number(grams), "scale", display))));
  }
  if (display.temperature === "degC" || !(TEMPERATURES.has(label) || OWN.test(label))) return line;
  const told = line.slice(label.length).split(QUOTED)
    .map((part) => QUOTED.test(part) ? part : degrees(part, display));
  return label + told.join("");
}

const THERMOMETER: Role = "pitcher";

function degrees(text: string, display: Display): string {
  return text.replace(DEGREES, (
    whole, deadband: string | undefined, low: string, high: string | undefined,
    rate: string | undefined,
  ) => {
    const convert = deadband === undefined && rate === undefined ? fine : difference;
    const number = (text: string): Shown => convert(Number(text), THERMOMETER, display);
    const span = high === undefined
      ? joined(number(low))
      : `${number(low).digits} to ${joined(number(high))}`;
    const [word, unit] = [deadband ?? "", rate ?? ""];
    return word + beside(whole.slice(word.length), span + unit);
  });
}

function beside(exact: string, shown: string): string {
  return `${shown} (${exact})`;
}

function joined({ digits, unit }: Shown): string {
  return `${digits} ${unit}`;
}
