import assert from "node:assert/strict";
import { test } from "node:test";
import { ShownValuesModel } from "../src/models/shown_values.ts";
import { FakeFeed, NOON_MS, after, reading } from "./fixtures.ts";

function listening(): { feed: FakeFeed; model: ShownValuesModel; values: () => number[] } {
  const feed = new FakeFeed();
  const model = new ShownValuesModel("east-pitcher", feed);
  return { feed, model, values: () => model.values.value.map((each) => each.value) };
}

test("what counts is what was shown, not what was kept", () => {
  const { feed, model } = listening();
  feed.send("reading", { ...reading, value: 82.0, shown: 82.4, taken_at: after(3) });
  assert.deepEqual(model.values.value, [{ at: NOON_MS / 1000 + 3, value: 82.4 }]);
});

test("other instruments, faults and values that nobody knows uncorrected are left out", () => {
  const { feed, values } = listening();
  feed.send("reading", { ...reading, instrument: "east-pot" });
  feed.send("reading", { ...reading, quality: "bad", shown: 0 });
  feed.send("reading", { ...reading, shown: null });
  assert.deepEqual(values(), []);
});

test("two minutes are remembered", () => {
  const { feed, model } = listening();
  for (let s = 0; s < 500; s += 1) {
    feed.send("reading", { ...reading, shown: s, taken_at: after(s) });
  }
  assert.equal(model.values.value.length, 121);
  assert.equal(model.values.value.at(-1)?.value, 499);
});

test("what comes after a long silence does not stand still since before it", () => {
  const { feed, values } = listening();
  feed.send("reading", { ...reading, shown: 1, taken_at: after(0) });
  feed.send("reading", { ...reading, shown: 1, taken_at: after(600) });
  assert.deepEqual(values(), [1]);
});

test("a value that comes twice is one, and a clock moved back begins anew", () => {
  const { feed, values } = listening();
  for (const s of [600, 600, 599]) {
    feed.send("reading", { ...reading, shown: s, taken_at: after(s) });
  }
  assert.deepEqual(values(), [600]);
  feed.send("reading", { ...reading, shown: 7, taken_at: after(0) });
  assert.deepEqual(values(), [7]);
});

test("a closed one hears nothing more, and a new point begins without the last one's", () => {
  const { feed, model, values } = listening();
  feed.send("reading", reading);
  model.forget();
  assert.deepEqual(values(), []);
  model.close();
  feed.send("reading", reading);
  assert.deepEqual(values(), []);
});
