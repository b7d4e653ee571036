import type { Aligned, AlignedValue } from "./aligned.ts";
import { placeOf } from "./samples.ts";
import type { Samples } from "./samples.ts";

/** In a column of the chart stand a line's lowest and highest value, in their order, and a gap. */
const SLOTS = 3;
/** Where in its column each of them is drawn, as a share of its width. */
const PLACES: readonly number[] = [0.25, 0.75, 0.95];
const GAP_SLOT = 2;

/**
 * Lines of any number of points as a chart of so many columns can show them, on one axis of time.
 *
 * No peak and no trough is lost. Columns are cut at multiples of a power of two of a second, at
 * least as wide as was asked for, so that one which is over looks the same for as long as it is
 * in sight.
 */
export function inColumns(
  lines: readonly Samples[], from: number, to: number, columns: number,
): Aligned {
  const width = 2 ** Math.ceil(Math.log2(Math.max(1, to - from) / columns));
  const first = Math.floor(from / width) - 1;
  const count = Math.floor(to / width) - first + 1;
  const slots = lines.map((line) => slotsOf(line, first, count, width));
  const used = usedSlots(slots, count * SLOTS);
  const t = used.map((slot) => {
    return (first + Math.floor(slot / SLOTS) + (PLACES[slot % SLOTS] ?? 0)) * width;
  });
  return { t, values: slots.map((line) => used.map((slot) => line[slot])) };
}

/** The slots in which any line has something. */
function usedSlots(lines: readonly AlignedValue[][], count: number): number[] {
  const taken = new Uint8Array(count);
  for (const line of lines) {
    for (let slot = 0; slot < count; slot += 1) if (line[slot] !== undefined) taken[slot] = 1;
  }
  const used: number[] = [];
  for (let slot = 0; slot < count; slot += 1) if (taken[slot] === 1) used.push(slot);
  return used;
}

function slotsOf(line: Samples, first: number, count: number, width: number): AlignedValue[] {
  const slots = new Array<AlignedValue>(count * SLOTS).fill(undefined);
  const { t, value } = line;
  let place = placeOf(t, first * width);
  while (place < t.length) {
    const column = Math.floor((t[place] ?? 0) / width);
    if (column - first >= count) break;
    const end = endOf(t, place, (column + 1) * width);
    fill(slots, (column - first) * SLOTS, value, place, end);
    place = end;
  }
  return slots;
}

function endOf(t: Float64Array, from: number, before: number): number {
  let end = from + 1;
  while (end < t.length && (t[end] ?? before) < before) end += 1;
  return end;
}

/** Fills a column's slots with what stands between two places. */
function fill(
  slots: AlignedValue[], slot: number, value: Float64Array, from: number, end: number,
): void {
  let [low, high] = [-1, -1];
  for (let place = from; place < end; place += 1) {
    const here = value[place] ?? NaN;
    if (Number.isNaN(here)) continue;
    if (low < 0 || here < (value[low] ?? here)) low = place;
    if (high < 0 || here > (value[high] ?? here)) high = place;
  }
  if (low >= 0) slots[slot] = value[Math.min(low, high)];
  if (low !== high) slots[slot + 1] = value[Math.max(low, high)];
  if (Number.isNaN(value[end - 1])) slots[slot + GAP_SLOT] = null;
}
