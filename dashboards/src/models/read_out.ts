import { phaseName } from "../words.ts";
import type { Lot, LotPhase } from "../types.ts";

/** A line as the read-out sees it: points in ascending seconds, null and undefined without value. */
export interface ReadLine {
  label: string;
  unit: string;
  decimals: number;
  t: readonly number[];
  values: readonly (number | null | undefined)[];
}

/** A line's nearest real reading; null where none is near. */
export interface ReadValue {
  label: string;
  unit: string;
  decimals: number;
  value: number | null;
  /** When it was taken; epoch seconds. */
  at: number;
}

/** As on the service: a longer time without a reading is a gap. */
const NEAR_S = 15;

/** The reading of a line that is nearest to a moment. */
export function valueAt(line: ReadLine, at: number): ReadValue {
  const { label, unit, decimals } = line;
  const place = nearest(line, at);
  const taken = place === null ? at : line.t[place] ?? at;
  const value = place === null || Math.abs(taken - at) > NEAR_S ? null : line.values[place] ?? null;
  return { label, unit, decimals, value, at: taken };
}

/** The place of the nearest point with a value: outwards from the moment, both ways. */
function nearest({ t, values }: ReadLine, at: number): number | null {
  const after = firstFrom(t, at);
  const [left, right] = [seek(values, after - 1, -1), seek(values, after, 1)];
  if (left === null || right === null) return left ?? right;
  return at - (t[left] ?? at) <= (t[right] ?? at) - at ? left : right;
}

/** The first place whose time is not before `at`. */
function firstFrom(t: readonly number[], at: number): number {
  let [low, high] = [0, t.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((t[middle] ?? Infinity) < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

function seek(
  values: ReadLine["values"], from: number, step: 1 | -1,
): number | null {
  for (let place = from; place >= 0 && place < values.length; place += step) {
    if (typeof values[place] === "number") return place;
  }
  return null;
}

/** Something that happened at a moment, to be named in the read-out. */
export interface Happening {
  at: number;
  name: string;
}

/** The one that is nearest in time, and how many seconds later it was; null without any. */
export function nearestOf(
  happenings: readonly Happening[], at: number,
): (Happening & { later: number }) | null {
  const first = happenings.reduce<Happening | null>(
    (best, one) => best === null || apart(one, at) < apart(best, at) ? one : best, null,
  );
  return first === null ? null : { ...first, later: first.at - at };
}

const apart = (one: Happening, at: number): number => Math.abs(one.at - at);

/** The phases that went on at a moment, by name, each with its pitcher where there are several. */
export function phasesAt(
  lot: Lot, at: number, pitcher: (phase: string, n: number) => string,
): string[] {
  const many = lot.batch_sheet.pitchers.length > 1;
  return lot.phases.filter((phase) => goesOn(phase, at)).map((phase) => {
    const name = phaseName(phase.phase);
    return many ? pitcher(name, phase.pitcher) : name;
  });
}

function goesOn({ began, ended }: LotPhase, at: number): boolean {
  const ms = at * 1000;
  return Date.parse(began) <= ms && (ended === null || ms <= Date.parse(ended));
}
