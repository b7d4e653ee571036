import assert from "node:assert/strict";
import { test } from "node:test";
import { deviationFacts } from "../src/models/deviation_facts.ts";
import { storyOf } from "../src/models/story.ts";
import type { Lot, PitcherMeasured } from "../src/types.ts";
import { NOON_MS, after, lot } from "./fixtures.ts";
import { asIs, closedLot, measured, say } from "./lot_samples.ts";

const told = (changes: Partial<Lot> = {}, pitcher: PitcherMeasured = measured): string =>
  storyOf({ ...closedLot, ...changes }, [pitcher], say, asIs).map(({ text }) => text).join(" ");

test("a lot is told from its opening to its closing", () => {
  assert.deepEqual(storyOf(closedLot, [measured], say, asIs).map(({ text }) => text), [
    "Opened on 25 Nov 2026 at 12:00:00 at bench east, for 3 vessels of Cedar smoke.",
    "Wax was drawn by 12:01:30: 616.0 g of the 615.0 g asked for. "
      + "Fragrance went in at 12:03:20, 49.0 g of it; "
      + "the wax was at 82.1 °C, inside the window of 80.0 to 85.0 °C. "
      + "It was stirred for 2:05; the recipe asks for 2:00. "
      + "It was poured from 12:16:40 to 12:20:00, from 61.5 °C down to 56.1 °C. "
      + "The window to pour is 57.0 to 63.0 °C.",
    "All 3 vessels were filled; outside of what is allowed: vessel 2 (6.1 g under).",
    "1 thing was off:",
    "At 12:18:51: Vessel 2 of 3 is 6.1 g light: 213.9 g of 220.0 g. "
      + "What became of it: the lot was closed. Noted: “no wax left”.",
    "Closed at 12:25:00, after 25:00.",
  ]);
});

test("what was not right is told apart from what was", () => {
  const off = storyOf(closedLot, [measured], say, asIs).filter((each) => each.off);
  assert.equal(off.length, 2);
  const good = { ...closedLot, deviations: [], weighings: closedLot.weighings.slice(0, 3), vessels: 1 };
  assert.equal(storyOf(good, [measured], say, asIs).some((each) => each.off), false);
  assert.match(told({ deviations: [] }), /Nothing was off\./);
});

test("fragrance outside its window is told with the distance, and without a probe as unknown", () => {
  const added = (value: number | null): PitcherMeasured =>
    ({ ...measured, added: { at: after(200), value, off: true } });
  assert.match(told({}, added(76.4)), /at 76\.4 °C, 3\.6 °C under the window of 80\.0 to 85\.0 °C/);
  assert.match(told({}, added(88)), /at 88\.0 °C, 3\.0 °C over the window/);
  assert.match(told({}, added(null)), /no thermometer told how warm the wax was/);
});

test("fragrance from a beaker went in when it was tipped in, where that was seen", () => {
  const apart = (added: PitcherMeasured["added"]): PitcherMeasured =>
    ({ ...measured, apart: true, added });
  assert.match(told({}, apart({ at: after(333), value: 82, off: false })),
    /Fragrance went in at 12:05:33, .* of it; the wax was at 82\.0 °C, inside/);
  assert.match(told({}, apart(null)),
    /Fragrance was weighed in a beaker at .* of it; when it went into the wax was not seen\./);
});

test("a short stir says by how much, and one that nobody marked says that it is a bound", () => {
  const stirred = (seconds: number, evidence: "mark" | "gap"): Lot["phases"] =>
    closedLot.phases.map((phase) => phase.phase === "stir" ? { ...phase, seconds, evidence } : phase);
  assert.match(told({ phases: stirred(48, "mark") }), /for 0:48, 1:12 short of the 2:00 asked for/);
  assert.match(told({ phases: stirred(48, "gap") }), /it can have lasted 0:48 at most, of the 2:00/);
  assert.match(told({ phases: stirred(119.4, "mark") }), /for 1:59; the recipe asks for 2:00/);
});

test("what was never seen is said of a closed lot, and not yet of an open one", () => {
  const nothing = { phases: [], weighings: [], deviations: [] };
  const closed = told(nothing);
  for (const missing of ["No wax was seen", "No fragrance", "No stir", "No pour", "0 of 3 vessels"]) {
    assert.ok(closed.includes(missing), missing);
  }
  const open = told({ ...nothing, state: "open", closed_at: null });
  assert.ok(!open.includes("No wax"), open);
  assert.ok(open.endsWith("The lot is still open."), open);
});

test("several pitchers are told one by one", () => {
  const pitchers = [1, 2].map((pitcher) => ({ pitcher, vessels: 2, mix: 1, wax: 1, fragrance: 1 }));
  const story = told({ batch_sheet: { ...closedLot.batch_sheet, pitchers } });
  assert.match(story, /Pitcher 1: Wax was drawn by/);
  assert.match(story, /Pitcher 2: No wax was seen to be drawn\./);
});

test("a gap in the record is part of the story", () => {
  assert.match(told({ gaps: [{ from: after(10), to: after(20) }] }),
    /Nothing was collected from 12:00:10 to 12:00:20\./);
});

const facts = (changes: object, of: Lot = closedLot): Map<string, string> => {
  const [first] = closedLot.deviations;
  assert.ok(first !== undefined);
  return new Map(deviationFacts({ ...first, ...changes }, of, NOON_MS + 1_191_000, say, asIs));
};

test("of a deviation it is said who saw it, with which note, and how long it lasted", () => {
  assert.deepEqual(Object.fromEntries(facts({})), {
    "What became of it": "the lot was closed", "How long": "6:09",
    "Acknowledged": "at 12:19:51, after 1:00", "Note": "no wax left",
  });
});

test("what still stands counts on while the lot is open, and ends with it", () => {
  const standing = { cleared_at: null, outcome: null, acknowledged_at: null, note: null };
  assert.equal(facts(standing, lot).get("How long"), "1:00 so far");
  assert.equal(facts(standing).get("How long"), "6:09, until the lot was closed");
  assert.equal(facts(standing).get("Acknowledged"), "by nobody");
  assert.equal(facts(standing).get("What became of it"), "still open");
});

test("what was put aside or let go is said with its reason", () => {
  const aside = facts({ shelved_until: after(1800), shelved_reason: "scale in use", reset_at: after(1400) });
  assert.equal(aside.get("Put aside"), "until 12:30:00: “scale in use”");
  assert.equal(aside.get("Let go"), "at 12:23:20");
});
