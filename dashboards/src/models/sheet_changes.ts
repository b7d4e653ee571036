import type { BatchSheet } from "../types.ts";

const COLUMNS = ["vessels", "mix", "wax", "fragrance"] as const;

/** The part of a sheet that is all of it. */
export const WHOLE = 0;

/** What a number of the sheet is known by: its pitcher, from 1, or WHOLE, and its column. */
export function cell(pitcher: number, column: string): string {
  return `${pitcher}.${column}`;
}

/** Which numbers of a sheet are not what they were; all of a pitcher that was not there. */
export function changedCells(before: BatchSheet | null, now: BatchSheet | null): Set<string> {
  if (before === null || now === null) return new Set();
  const old = numbersOf(before);
  const changed = [...numbersOf(now)].filter(([key, value]) => old.get(key) !== value);
  return new Set(changed.map(([key]) => key));
}

function numbersOf(sheet: BatchSheet): Map<string, number> {
  const parts = [{ ...sheet, pitcher: WHOLE }, ...sheet.pitchers];
  const cells = parts.flatMap((part) =>
    COLUMNS.map((column): [string, number] => [cell(part.pitcher, column), part[column]]));
  return new Map(cells);
}
