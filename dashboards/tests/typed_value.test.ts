import assert from "node:assert/strict";
import { test } from "node:test";
import { isSuspicious, typedNumber } from "../src/models/typed_value.ts";

test("a number may have a point, a comma or a sign", () => {
  assert.equal(typedNumber(" 82.1 "), 82.1);
  assert.equal(typedNumber("82,1"), 82.1);
  assert.equal(typedNumber("-3"), -3);
  assert.equal(typedNumber("\u22123"), -3);
});

test("what is no number is told apart from one", () => {
  for (const text of ["", "abc", "82.1.2", "8e2", "82 °C", "0x10"]) {
    assert.equal(typedNumber(text), null, text);
  }
});

test("a temperature that no wax has is suspicious, in either unit", () => {
  assert.equal(isSuspicious(150, "degC"), false);
  assert.equal(isSuspicious(150.1, "degC"), true);
  assert.equal(isSuspicious(-20.1, "degC"), true);
  // NIST SP 811 (2008), appendix B.8: 150 °C = 302 °F, and -20 °C = -4 °F
  assert.equal(isSuspicious(301, "degF"), false);
  assert.equal(isSuspicious(303, "degF"), true);
  assert.equal(isSuspicious(-5, "degF"), true);
});

test("a negative mass is suspicious, nothing on the scale is not", () => {
  assert.equal(isSuspicious(0, "g"), false);
  assert.equal(isSuspicious(-0.1, "g"), true);
  assert.equal(isSuspicious(-1, "oz"), true);
});
