import assert from "node:assert/strict";
import { test } from "node:test";
import { readAddress, writeAddress } from "../src/models/lot_address.ts";
import { NOON_MS, after } from "./fixtures.ts";

const noon = NOON_MS / 1000;

test("what is looked at comes back out of its address", () => {
  const looked = { span: { from: noon, to: noon + 90.5 }, beside: ["2026-11-25-1", "2026-11-25-4"] };
  const query = writeAddress(looked, "");
  assert.equal(
    query, `?from=${after(0)}&to=${after(90.5)}&beside=2026-11-25-1,2026-11-25-4`,
  );
  assert.deepEqual(readAddress(query), looked);
});

test("the whole lot by itself needs no query, and what else there is stays", () => {
  assert.equal(writeAddress({ span: null, beside: [] }, "?from=x&to=y"), "");
  assert.equal(
    writeAddress({ span: null, beside: ["1"] }, "?theme=dark&beside=9"), "?theme=dark&beside=1",
  );
});

test("an address that cannot be understood shows the whole lot", () => {
  for (const query of ["?from=yesterday&to=today", `?from=${after(0)}`, `?from=${after(9)}&to=${after(1)}`]) {
    assert.equal(readAddress(query).span, null);
  }
});

test("of many lots beside this one three are taken, each once", () => {
  assert.deepEqual(readAddress("?beside=1,2,1,,3,4").beside, ["1", "2", "3"]);
});

test("a lot's name is escaped", () => {
  const query = writeAddress({ span: null, beside: ["a&b,c"] }, "");
  assert.equal(query, "?beside=a%26b%2Cc");
});
