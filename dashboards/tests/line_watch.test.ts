import assert from "node:assert/strict";
import { test } from "node:test";
import { LineWatch } from "../src/models/line_watch.ts";

test("a line that stays away calls after a while, and each minute again", () => {
  const watch = new LineWatch();
  const called = [0, 9, 10, 11, 69, 70, 130].filter((s) => watch.calls("lost", s * 1000));
  assert.deepEqual(called, [10, 70, 130]);
});

test("a line that comes back in time calls nobody, and begins anew", () => {
  const watch = new LineWatch();
  assert.equal(watch.calls("lost", 0), false);
  assert.equal(watch.calls("live", 8_000), false);
  assert.equal(watch.calls("lost", 12_000), false);
  assert.equal(watch.calls("lost", 21_000), false);
  assert.equal(watch.calls("lost", 22_000), true);
});
