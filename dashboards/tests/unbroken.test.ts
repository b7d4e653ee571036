import assert from "node:assert/strict";
import { test } from "node:test";
import { unbroken } from "../src/models/unbroken.ts";

test("a number stays with its unit, and words part as ever", () => {
  assert.equal(unbroken("Let it cool to 84.0 °C"), "Let it cool to 84.0\u00a0°C");
  assert.equal(
    unbroken("Add 9.9 g within 2 min: it is at 81.4 °C, 8 % of it."),
    "Add 9.9\u00a0g within 2\u00a0min: it is at 81.4\u00a0°C, 8\u00a0% of it.",
  );
  assert.equal(unbroken("7 grams of 6 handles, 12 vessels"), "7 grams of 6 handles, 12 vessels");
});
