import assert from "node:assert/strict";
import { test } from "node:test";
import { told } from "../src/models/told.ts";

const METRIC = { temperature: "degC", mass: "g" } as const;
const US = { temperature: "degF", mass: "oz" } as const;

// NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32, and 1 oz = 28.349523125 g.
test("the service's masses and temperatures are told in the person's units", () => {
  assert.equal(told("Let it cool to 63.0 °C", US), "Let it cool to 145.4 °F");
  assert.equal(told("Draw 2450.0 g of wax into the pitcher", US),
    "Draw 86.42 oz of wax into the pitcher");
  assert.equal(
    told("Pouring too hot: the wax is at 66.2 °C, the window is 57.0 to 63.0 °C.", US),
    "Pouring too hot: the wax is at 151.2 °F, the window is 134.6 to 145.4 °F.",
  );
  assert.equal(told("east-pot is at 94.0 °C, above the wax's limit of 93.0 °C.", US),
    "east-pot is at 201.2 °F, above the wax's limit of 199.4 °F.");
  assert.equal(
    told("Warm it to 176.0 °F, add 1.00 oz", METRIC), "Warm it to 80.0 °C, add 28.3 g",
  );
});

test("a difference of temperatures has no offset", () => {
  // NIST SP 811 (2008), appendix B.8: a difference of 1 °C is one of 1.8 °F
  for (const [text, expected] of [
    ["It is 2.5 °C under what good lots had.", "It is 4.5 °F under what good lots had."],
    ["The fragrance will cool it by about 2 °C.", "The fragrance will cool it by about 3.6 °F."],
    ["The fragrance will cool it by 2 to 3 °C.", "The fragrance will cool it by 3.6 to 5.4 °F."],
  ] as const) assert.equal(told(text, US), expected);
  const fahrenheit = "The fragrance will cool it by 9 °F.";
  assert.equal(told(fahrenheit, METRIC), "The fragrance will cool it by 5.0 °C.");
});

test("a rate is a difference, in the words of the service", () => {
  // collector/display.py writes "a minute"; NIST SP 811 as above
  assert.equal(
    told("Slow: east-pot falls by 1.2 °C a minute, the limit is 1.0 °C a minute.", US),
    "Slow: east-pot falls by 2.2 °F a minute, the limit is 1.8 °F a minute.",
  );
  assert.equal(told("back to 0.4 °C a minute", US), "back to 0.7 °F a minute");
  assert.equal(told("back to 0.9 °F a minute", METRIC), "back to 0.5 °C a minute");
  assert.equal(told("back to 0.4 °C a minute", METRIC), "back to 0.4 °C a minute");
});

test("a rate in other words stays in the service's unit", () => {
  const text = "It rises at 1.2 °C per min, at most 1.0 °C/min.";
  assert.equal(told(text, US), text);
});

test("a temperature below zero is converted as well, and one that something ends below", () => {
  assert.equal(told("yard-room is at -2.0 °C, below the limit of 5.0 °C.", US),
    "yard-room is at 28.4 °F, below the limit of 41.0 °F.");
  assert.equal(told("back to 0.0 °F", METRIC), "back to \u221217.8 °C");
  assert.equal(told("That ends below 80.0 °C.", US), "That ends below 176.0 °F.");
});

test("a name with a mass in it stays a name", () => {
  assert.equal(told("Open Cedar smoke, 220 g amber", US), "Open Cedar smoke, 220 g amber");
});

test("what is in the person's unit already stays digit for digit", () => {
  const text = "220.00 g at 63.0 °C";
  assert.equal(told(text, METRIC), text);
});
