import assert from "node:assert/strict";
import { test } from "node:test";
import { figuresOf, isOutside } from "../src/models/fills.ts";
import type { Weighed } from "../src/models/fills.ts";
import { GUTTER, dotPlot } from "../src/models/target_dots.ts";

const about = (target: number, tolerance: number, ...grams: number[]): Weighed[] =>
  grams.map((value) => ({ grams: value, target, tolerance }));

/** |a - b| as small as the digits that the source prints. */
const near = (found: number | null | undefined, published: number, by: number): void => {
  assert.ok(typeof found === "number" && Math.abs(found - published) <= by, `${found}`);
};

// NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.2: particle counts of ten wafers,
// mean 53.7 and standard deviation 6.567 (data from memory; worked out by hand they give both).
test("mean and standard deviation are those of the handbook's wafers", () => {
  const figures = figuresOf(about(50, 100, 50, 48, 44, 56, 61, 52, 53, 55, 67, 51));
  near(figures?.mean, 53.7, 1e-9);
  near(figures?.deviation, 6.567, 5e-4);
  assert.deepEqual([figures?.n, figures?.least, figures?.most], [10, 44, 67]);
});

// The same handbook, section 6.3.2.2: ten flow rates with the mean 50.81.
test("the mean is that of the handbook's flow rates", () => {
  const rates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
  near(figuresOf(about(50, 100, ...rates))?.mean, 50.81, 1e-9);
});

test("one weighing has no deviation, and none has no figures", () => {
  assert.equal(figuresOf(about(220, 2, 219))?.deviation, null);
  assert.equal(figuresOf([]), null);
});

test("the edge of the tolerance is within it, in decimals too", () => {
  assert.deepEqual(about(220.3, 0.1, 220.4, 220.2, 220.5).map(isOutside), [false, false, true]);
  assert.equal(figuresOf(about(220, 2, 218, 222, 217.9, 222.1))?.outside, 2);
});

const named = (weighed: Weighed, place: number) =>
  ({ ...weighed, name: `Vessel ${place + 1}`, short: String(place + 1) });

test("exactly those outside their tolerance are marked, on their side", () => {
  const plot = dotPlot(about(220, 2, 220, 214, 222, 225).map(named), 600, 200);
  assert.deepEqual(plot.dots.map(({ outside }) => outside), [null, "under", null, "over"]);
});

test("a dot on its target lies on the line, one under it below, and none leaves the drawing", () => {
  const plot = dotPlot(about(220, 2, 220, 214, 222).map(named), 600, 200);
  const [on, under, over] = plot.dots;
  assert.equal(on?.y, plot.zero);
  assert.ok((under?.y ?? 0) > plot.zero && (over?.y ?? 999) < plot.zero);
  for (const { x, y } of plot.dots) {
    assert.ok(y > 0 && y < plot.height && x > GUTTER && x < plot.width);
  }
  assert.equal(plot.bands[2]?.top, over?.y); // on the edge of the band
});

test("many vessels make the drawing wider, few fill the width there is", () => {
  assert.equal(dotPlot(about(1, 1, 1, 1).map(named), 600, 200).width, 600);
  assert.ok(dotPlot(about(1, 1, ...new Array<number>(60).fill(1)).map(named), 600, 200).width > 600);
});
