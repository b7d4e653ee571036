import assert from "node:assert/strict";
import { test } from "node:test";
import { lineWords, sinceWords } from "../src/models/calibration_words.ts";
import { correction, difference, fine } from "../src/models/quantities.ts";
import { WallTime } from "../src/models/wall_time.ts";
import type { Display } from "../src/types.ts";
import { NOON } from "./fixtures.ts";

const metric: Display = { temperature: "degC", mass: "g" };
const customary: Display = { temperature: "degF", mass: "oz" };

test("a correction is said with what it does and by how much", () => {
  const line = { offset: -0.4, gain: 1, step: 0.001 };
  assert.equal(lineWords(line, "pitcher", metric), "\u22120.40 °C everywhere");
  assert.equal(lineWords(line, "pitcher", customary), "\u22120.72 °F everywhere");
  assert.equal(
    lineWords({ ...line, gain: 1.0025 }, "pitcher", metric),
    "\u22120.40 °C everywhere and +0.25 % of the value",
  );
  assert.equal(lineWords({ offset: 0, gain: 1, step: 0.1 }, "scale", metric), "changes nothing");
});

test("when it was made is said with its age and its points", () => {
  const made = {
    offset: 0, gain: 1, step: 0.1, at: NOON, note: "", age_days: 1, due: false,
    points: [{ reference: 0, shown: 0, of: "empty" }],
  };
  assert.equal(
    sinceWords(made, new WallTime("UTC")),
    "Calibrated on 25 Nov 2026, yesterday, with 1 point",
  );
});

test("values of a calibration have a digit more, and corrections their sign", () => {
  assert.deepEqual(fine(0.406, "pot", metric), { digits: "0.41", unit: "°C" });
  assert.deepEqual(fine(100, "pot", customary), { digits: "212.00", unit: "°F" });
  assert.deepEqual(difference(0.0625, "pot", customary), { digits: "0.11", unit: "°F" });
  assert.deepEqual(correction(0.5, "scale", metric), { digits: "+0.50", unit: "g" });
  assert.deepEqual(correction(0.001, "scale", metric), { digits: "0.00", unit: "g" });
  assert.deepEqual(correction(-0.4, "pot", metric), { digits: "\u22120.40", unit: "°C" });
});
