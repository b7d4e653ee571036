import assert from "node:assert/strict";
import { test } from "node:test";
import { FootSwitch } from "../src/models/foot_switch.ts";
import { keepWith } from "./fixtures.ts";

test("the key of a foot switch outlives the page until it is forgotten", () => {
  const keep = keepWith();
  assert.equal(new FootSwitch(keep).key.value, null);
  assert.equal(new FootSwitch(keep).learn("F9"), true);
  const again = new FootSwitch(keep);
  assert.equal(again.key.value, "F9");
  again.forget();
  assert.equal(new FootSwitch(keep).key.value, null);
});

test("a key that the pages need themselves is not taken, and teaching goes on", () => {
  const footSwitch = new FootSwitch(keepWith());
  footSwitch.learning.value = true;
  for (const key of ["Tab", "a", "Escape"]) assert.equal(footSwitch.learn(key), false);
  assert.equal(footSwitch.learning.value, true);
  assert.equal(footSwitch.key.value, null);
});
