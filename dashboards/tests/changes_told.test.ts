import assert from "node:assert/strict";
import { test } from "node:test";
import { changeTold } from "../src/models/changes_told.ts";

const METRIC = { temperature: "degC", mass: "g" } as const;
const US = { temperature: "degF", mass: "oz" } as const;

// NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32, a difference of 1 °C is one of 1.8 °F,
// and 1 oz = 28.349523125 g.
for (const [line, expected] of [
  ["pour between: 55 to 62 °C, was 57 to 63 °C",
    "pour between: 131.00 to 143.60 °F (55 to 62 °C), was 134.60 to 145.40 °F (57 to 63 °C)"],
  ["wax never above: no longer set, was 93 °C",
    "wax never above: no longer set, was 199.40 °F (93 °C)"],
  ["vessel fill: 200.05 g, was 200 g", "vessel fill: 7.057 oz (200.05 g), was 7.055 oz (200 g)"],
  ["limit cold: of the room, below -5 °C, deadband 0.5 °C, on delay 5 s, was not set",
    "limit cold: of the room, below 23.00 °F (-5 °C), deadband 0.90 °F (0.5 °C), on delay 5 s, "
    + "was not set"],
  ["limit fast: of the pot, rises at most 2 °C a minute, deadband 0.1 °C a minute, was not set",
    "limit fast: of the pot, rises at most 3.60 °F a minute (2 °C a minute), "
    + "deadband 0.18 °F a minute (0.1 °C a minute), was not set"],
] as const) {
  test(`in a person's units, the recipe's own beside them: ${line}`, () => {
    assert.equal(changeTold(line, US), expected);
    assert.equal(changeTold(line, METRIC), line);
  });
}

for (const line of [
  "name: Slow lamp, 200 g, was Slow lamp, 190 g",
  "wax: soy, 5 °C softer, was soy",
  "wax density: 0.9 g/mL, was 0.88 g/mL",
  "fragrance load: 7.5 % of the wax, was 8 % of the wax",
  "stir at least: 90 s, was 2 min",
  'limit cold: of the room, advice "Close the door under 18 °C", was not set',
  "order of the phases: stir, rest, was rest, stir",
]) {
  test(`what is no measure of the recipe stays as it is: ${line}`, () => {
    assert.equal(changeTold(line, US), line);
  });
}
