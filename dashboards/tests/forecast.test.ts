import assert from "node:assert/strict";
import { test } from "node:test";
import { ahead, passedSince, trendOf } from "../src/models/forecast.ts";
import { forecast as words } from "../src/words.ts";
import { NOON, NOON_MS } from "./fixtures.ts";

const said = (soonest: number, likely: number, latest: number, passed = 0): string =>
  words.ahead(ahead({ soonest, likely, latest }, passed));

test("a wide interval is a range, rounded outwards so that it never promises more", () => {
  assert.equal(said(370, 420, 470), "in 6 to 8 min");
  assert.equal(said(40, 61, 78), "in 40 to 80 s");
  assert.equal(said(20, 200, 290), "within 5 min");
});

test("an interval below a fifth of what it foretells, or below 30 s, is one number", () => {
  assert.equal(said(670, 720, 800), "in about 12 min");
  assert.equal(said(60, 75, 89), "in about 75 s");
  assert.equal(said(0, 20, 30), "within 30 s");
});

test("a fifth of what it foretells is already wide", () => {
  assert.equal(said(648, 720, 791), "in about 12 min");
  assert.equal(said(648, 720, 792), "in 10 to 14 min");
});

test("between two statuses it counts down, and ends at any moment now", () => {
  assert.equal(said(670, 720, 800, 120), "in about 10 min");
  assert.equal(said(370, 420, 470, 300), "in 1 to 3 min");
  assert.equal(said(370, 420, 470, 471), "any moment now");
  assert.equal(said(35, 45, 60, 44), "any moment now");
});

test("hours are said as hours", () => {
  assert.equal(said(9000, 9100, 9200), "in about 3 h");
  assert.equal(said(6000, 9000, 12000), "in 1 to 4 h");
});

test("a status from the future is taken for one of now", () => {
  assert.equal(passedSince(NOON, NOON_MS + 4_500), 4.5);
  assert.equal(passedSince(NOON, NOON_MS - 900), 0);
});

test("a temperature that hardly moves is steady", () => {
  assert.equal(trendOf(-1.2), "falling");
  assert.equal(trendOf(0.05), "rising");
  assert.equal(trendOf(-0.04), "steady");
});

test("a window that opens and closes is said in one sentence", () => {
  assert.equal(
    words.window([words.opens("in 6 to 8 min"), words.closes("in about 20 min")]),
    "Window opens in 6 to 8 min, closes in about 20 min",
  );
});
