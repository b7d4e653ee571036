import assert from "node:assert/strict";
import { test } from "node:test";
import { duration, mass, temperature, temperatureStep, text } from "../src/models/quantities.ts";

const METRIC = { temperature: "degC", mass: "g" } as const;
const US = { temperature: "degF", mass: "oz" } as const;

// Fixed points of NIST SP 811 (2008), appendix B: water boils at 212 °F, freezes at 32 °F;
// 1 oz avoirdupois = 28.349523125 g exactly.
test("temperatures are shown in the unit that the person reads", () => {
  assert.equal(text(temperature(82.34, METRIC)), "82.3 °C");
  assert.equal(text(temperature(100, US)), "212.0 °F");
  assert.equal(text(temperature(0, US)), "32.0 °F");
  assert.equal(text(temperature(-40, US)), "\u221240.0 °F");
});

test("a difference of temperatures leaves the offset of the scale out", () => {
  assert.equal(text(temperatureStep(5, US)), "9.0 °F");
});

test("masses are shown in the unit that the person reads", () => {
  assert.equal(text(mass(28.349523125, US)), "1.00 oz");
  assert.equal(text(mass(453.59237, US)), "16.00 oz");
  assert.equal(text(mass(-1.25, METRIC)), "\u22121.3 g");
});

test("what rounds to zero carries no minus", () => {
  assert.equal(mass(-0.04, METRIC).digits, "0.0");
});

test("durations have hours only where there are any", () => {
  assert.equal(duration(0), "0:00");
  assert.equal(duration(65.9), "1:05");
  assert.equal(duration(93_790), "26:03:10");
  assert.equal(duration(-3), "0:00");
});
