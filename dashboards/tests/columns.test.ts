import assert from "node:assert/strict";
import { test } from "node:test";
import { inColumns } from "../src/models/columns.ts";
import type { Samples } from "../src/models/samples.ts";

const COLUMNS = 1000;
const HOUR_S = 3600;

const samples = (points: readonly (readonly [number, number])[]): Samples => ({
  t: Float64Array.from(points, ([t]) => t), value: Float64Array.from(points, ([, value]) => value),
});

/** An hour of ten readings a second that tremble. */
function hour(number = 0): Samples {
  return samples(Array.from({ length: HOUR_S * 10 }, (_, tick) =>
    [tick / 10, 70 + number + Math.sin(tick * 1.7) / 10] as const));
}

const drawn = (line: readonly unknown[] | undefined): unknown[] =>
  (line ?? []).filter((value) => value !== undefined);

test("what is drawn does not grow with what is held", () => {
  const { t } = inColumns([hour(), hour(3), hour(5)], 0, HOUR_S, COLUMNS);
  assert.ok(t.length <= 2 * (COLUMNS + 2), `${t.length} points`);
});

test("no peak and no trough is lost, and each stays in its column", () => {
  const line = hour();
  line.value[12_345] = 95;
  line.value[20_000] = 15;
  const { t, values: [value = []] } = inColumns([line], 0, HOUR_S, COLUMNS);
  assert.equal(Math.max(...drawn(value).map(Number)), 95);
  assert.equal(Math.min(...drawn(value).map(Number)), 15);
  assert.ok(Math.abs((t[value.indexOf(95)] ?? 0) - 1234.5) < 4);
  assert.ok(Math.abs((t[value.indexOf(15)] ?? 0) - 2000) < 4);
});

test("the lowest and the highest of a column keep their order", () => {
  const falling = inColumns([samples([[0.1, 9], [0.2, 5], [0.3, 1]])], 0, 10, 10);
  const rising = inColumns([samples([[0.1, 1], [0.2, 5], [0.3, 9]])], 0, 10, 10);
  assert.deepEqual(drawn(falling.values[0]), [9, 1]);
  assert.deepEqual(drawn(rising.values[0]), [1, 9]);
});

test("times ascend, and lines that have no point there run on", () => {
  const { t, values } = inColumns([samples([[1.5, 70]]), samples([[2.5, 80]])], 0, 10, 10);
  assert.deepEqual(values, [[70, undefined], [undefined, 80]]);
  assert.deepEqual(t, [...t].sort((a, b) => a - b));
});

test("a gap breaks the line behind the last point before it", () => {
  const { values } = inColumns([samples([[1, 70], [1.1, NaN], [7, 60]])], 0, 10, 10);
  assert.deepEqual(drawn(values[0]), [70, null, 60]);
});

test("a column that is over looks the same while the window moves on", () => {
  const [before, after] = [0, 2.3].map((moved) =>
    inColumns([hour()], 100 + moved, 1100 + moved, COLUMNS));
  const at = (drawing: typeof before, t: number): unknown =>
    drawing?.values[0]?.[drawing.t.indexOf(t)];
  const shared = before?.t.filter((t) => t > 110 && t < 1090) ?? [];
  assert.ok(shared.length > 1000);
  for (const t of shared) assert.equal(at(after, t), at(before, t));
});

test("what is out of sight is left out, but for the column before it", () => {
  const { t } = inColumns([hour()], 1000, 1100, 100);
  assert.ok((t[0] ?? 0) >= 998 && (t.at(-1) ?? 0) <= 1102, `${t[0]} to ${t.at(-1)}`);
});

test("nothing held is nothing drawn", () => {
  assert.deepEqual(inColumns([samples([])], 0, 600, COLUMNS), { t: [], values: [[]] });
  assert.deepEqual(inColumns([], 0, 600, COLUMNS), { t: [], values: [] });
});
