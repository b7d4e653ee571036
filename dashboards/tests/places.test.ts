import assert from "node:assert/strict";
import { test } from "node:test";
import { links, placeOf } from "../src/places.ts";

const LOTS = { page: "lots", filter: { text: "", bench: null, only: null } };

test("each page has its path, with or without a slash at the end", () => {
  assert.deepEqual(placeOf("/"), { page: "bench", bench: null });
  assert.deepEqual(placeOf("/?bench=quay"), { page: "bench", bench: "quay" });
  assert.deepEqual(placeOf("/lots"), LOTS);
  assert.deepEqual(placeOf("/lots/"), LOTS);
  assert.deepEqual(placeOf("/lots/7"), { page: "lot", id: "7" });
  assert.deepEqual(placeOf("/elsewhere"), { page: "nowhere" });
});

test("a link leads back to what it was made of", () => {
  assert.deepEqual(placeOf(links.bench("east & west")), { page: "bench", bench: "east & west" });
  assert.deepEqual(placeOf(links.lot("a/b")), { page: "lot", id: "a/b" });
});

test("a broken escape in an address is no page, and no crash", () => {
  assert.deepEqual(placeOf("/lots/%E0%A4%A"), { page: "nowhere" });
});

test("a history of alarms is narrowed by its address, and a mistyped number is the usual one", () => {
  const open = { bench: null, rule: null, priority: null };
  assert.deepEqual(placeOf("/alarms"), { page: "alarms", filter: open, days: 1, until: null });
  assert.deepEqual(placeOf("/alarms?days=7&rule=fill-grams"), {
    page: "alarms", filter: { ...open, rule: "fill-grams" }, days: 7, until: null,
  });
  const { page, ...mistyped } = placeOf("/alarms?days=many");
  assert.deepEqual({ page, ...mistyped }, placeOf("/alarms"));
});

test("a list of lots is narrowed by its address", () => {
  assert.deepEqual(placeOf("/lots?q=cedar&bench=east&only=deviating"), {
    page: "lots", filter: { text: "cedar", bench: "east", only: "deviating" },
  });
  assert.deepEqual(placeOf("/lots?only=odd"), LOTS);
});

test("a pour day that is still to be planned has no id", () => {
  assert.deepEqual(placeOf(links.newPourDay), { page: "pour day", id: null });
  assert.deepEqual(placeOf(links.pourDay("day-1")), { page: "pour day", id: "day-1" });
});
