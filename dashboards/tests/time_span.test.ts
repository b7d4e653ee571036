import assert from "node:assert/strict";
import { test } from "node:test";
import { CurveView } from "../src/models/curve_view.ts";
import { moved, showing, spanWithin, zoomed } from "../src/models/time_span.ts";

const WHOLE = { from: 1000, to: 2000 };

test("a span is put in order, and never leaves the whole", () => {
  assert.deepEqual(spanWithin({ from: 1500, to: 1200 }, WHOLE), { from: 1200, to: 1500 });
  assert.deepEqual(spanWithin({ from: 900, to: 1100 }, WHOLE), { from: 1000, to: 1200 });
  assert.deepEqual(spanWithin({ from: 1950, to: 2050 }, WHOLE), { from: 1900, to: 2000 });
});

test("a span of everything is the whole lot", () => {
  assert.equal(spanWithin({ from: 0, to: 9000 }, WHOLE), null);
});

test("a span too short to see anything is widened to both sides", () => {
  assert.deepEqual(spanWithin({ from: 1500, to: 1502 }, WHOLE), { from: 1496, to: 1506 });
});

test("zooming keeps the moment under the pointer where it is", () => {
  const span = { from: 1200, to: 1600 };
  assert.deepEqual(zoomed(span, WHOLE, 0.5, 1300), { from: 1250, to: 1450 });
  assert.deepEqual(zoomed({ from: 1250, to: 1450 }, WHOLE, 2, 1300), span);
  assert.equal(zoomed(span, WHOLE, 3, 1300), null);
});

test("moving stops at the ends of the lot, and a span goes no further than it must", () => {
  const span = { from: 1200, to: 1400 };
  assert.deepEqual(moved(span, WHOLE, -500), { from: 1000, to: 1200 });
  assert.deepEqual(showing(span, WHOLE, 1300), span);
  assert.deepEqual(showing(span, WHOLE, 1450), { from: 1250, to: 1450 });
  assert.deepEqual(showing(span, WHOLE, 1150), { from: 1150, to: 1350 });
});

function viewOf(): CurveView {
  const view = new CurveView(null);
  view.whole.value = WHOLE;
  return view;
}

test("the arrows move the cursor by a hundredth of what is shown, from the middle at first", () => {
  const view = viewOf();
  assert.equal(view.press("ArrowRight", false), true);
  assert.equal(view.cursor.value, 1510);
  view.press("ArrowLeft", true);
  assert.equal(view.cursor.value, 1410);
  assert.equal(view.keyed.value, 2);
});

test("the span goes along with a cursor that leaves it", () => {
  const view = viewOf();
  view.choose(1400, 1500);
  view.point(1500);
  view.press("ArrowRight", true);
  assert.equal(view.cursor.value, 1510);
  assert.deepEqual(view.span.value, { from: 1410, to: 1510 });
});

test("plus and minus zoom about the cursor, and Home shows the whole lot", () => {
  const view = viewOf();
  view.point(1250);
  view.press("+", false);
  assert.deepEqual(view.span.value, { from: 1125, to: 1625 });
  view.press("-", false);
  assert.equal(view.span.value, null);
  view.press("+", false);
  view.press("Home", false);
  assert.deepEqual(view.shown.value, WHOLE);
});

test("a key that means nothing here is left to the page", () => {
  const view = viewOf();
  assert.equal(view.press("a", false), false);
  assert.equal(view.keyed.value, 0);
});

test("a moment of a list is shown in the middle, with the way back", () => {
  const view = viewOf();
  view.show(1500, { element: "row-3", name: "vessel 3" });
  assert.deepEqual(view.span.value, { from: 1410, to: 1590 });
  assert.equal(view.cursor.value, 1500);
  assert.equal(view.origin.value?.name, "vessel 3");
});

test("a line is switched off and on", () => {
  const view = viewOf();
  view.toggle("pot");
  assert.deepEqual([...view.hidden.value], ["pot"]);
  view.toggle("pot");
  assert.equal(view.hidden.value.size, 0);
});
