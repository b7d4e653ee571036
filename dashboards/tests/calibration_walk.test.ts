import assert from "node:assert/strict";
import { test } from "node:test";
import { Refusal } from "../src/feed/refusal.ts";
import type { Service } from "../src/feed/service.ts";
import { CalibrationWalkModel } from "../src/models/calibration_walk.ts";
import type { TabKeep } from "../src/models/calibration_walk.ts";
import type { FitShown, InstrumentInFull, PointGiven } from "../src/types.ts";
import { FakeFeed, after, modelWith, probe, reading, serviceWith } from "./fixtures.ts";

const full: InstrumentInFull = {
  ...probe, connection: [], silent_after: 5, resolution: 0.062, calibrations: [], not_now: null,
};
const scale: InstrumentInFull = { ...full, name: "east-scale", role: "scale", resolution: 0.1 };
const fit: FitShown = {
  offset: -0.4, gain: 1, step: 0.001, unit: "degC", resolution: 0.062, points: [], examples: [],
  remarks: ["one point"],
};

function tab(): TabKeep {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}

interface Set {
  feed: FakeFeed;
  walk: CalibrationWalkModel;
  keep: TabKeep;
  again: () => CalibrationWalkModel;
}

function walking(answers: Partial<Service> = {}, instrument = full): Set {
  const [feed, keep] = [new FakeFeed(), tab()];
  const workshop = modelWith(feed, serviceWith(answers));
  const again = (): CalibrationWalkModel =>
    new CalibrationWalkModel(workshop, instrument, keep, (source) => source);
  return { feed, walk: again(), keep, again };
}

const step = (walk: CalibrationWalkModel): unknown => walk.draft.value?.step;

test("a thermometer begins with ice water, a scale with its empty pan and a mass", () => {
  const { walk } = walking();
  assert.equal(step(walk), undefined);
  walk.begin();
  assert.deepEqual(walk.draft.value?.points, [{ source: "ice", reference: 0, shown: null }]);
  const { walk: other } = walking({}, scale);
  other.begin();
  assert.deepEqual(other.draft.value?.points.map(({ source }) => source), ["empty", "mass"]);
});

test("from choice to journal: what was taken is what is kept", async () => {
  const asked: PointGiven[][] = [];
  const notes: string[] = [];
  const { walk, keep } = walking({
    previewCalibration: (_name, points) => {
      asked.push(points);
      return Promise.resolve(fit);
    },
    calibrate: (_name, points, note) => {
      asked.push(points);
      notes.push(note);
      return Promise.resolve();
    },
  });
  walk.begin();
  await walk.goOn();
  assert.deepEqual(step(walk), { at: "point", index: 0 });
  await walk.take(0.4, null);
  assert.deepEqual(step(walk), { at: "result" });
  assert.equal(walk.fit.value, fit);
  walk.note("  Ana ");
  await walk.keep();
  assert.equal(walk.kept.value, true);
  const point = { reference: 0, shown: 0.4, of: "ice" };
  assert.deepEqual([asked, notes], [[[point], [point]], ["Ana"]]);
  assert.equal(walk.draft.value, null);
  assert.equal(keep.getItem("pourkeep.calibration.east-pitcher"), null);
});

test("the service says at what temperature water boils there, before the first point", async () => {
  const asked: [string, number][] = [];
  const { walk } = walking({
    boilingWater: (by, value) => {
      asked.push([by, value]);
      return Promise.resolve({ temperature: 93.485, pressure_hpa: 800 });
    },
  });
  walk.begin();
  walk.choose("boiling", true);
  assert.equal(walk.canGoOn(), false, "nobody has said where");
  walk.boil({ by: "pressure", text: "800,0" });
  assert.equal(walk.canGoOn(), true);
  await walk.goOn();
  assert.deepEqual(asked, [["pressure", 800]]);
  assert.equal(walk.draft.value?.points[1]?.reference, 93.485);
});

test("an altitude that the service refuses is said, and nothing goes on", async () => {
  const refuse = (): Promise<never> =>
    Promise.reject(new Refusal(422, "expected -430 to 5500 m", [], null));
  const { walk } = walking({ boilingWater: refuse });
  walk.begin();
  walk.choose("boiling", true);
  walk.boil({ by: "altitude", text: "9000" });
  await walk.goOn();
  assert.deepEqual(step(walk), { at: "choose" });
  assert.equal(walk.refused.value, "expected -430 to 5500 m");
  walk.boil({ by: "altitude", text: "900" });
  assert.equal(walk.refused.value, null);
});

test("points that make no sense can be taken again", async () => {
  let answers: Promise<FitShown> = Promise.reject(new Refusal(422, "too close", [], null));
  answers.catch(() => undefined);
  const { walk } = walking({ previewCalibration: () => answers });
  walk.begin();
  await walk.goOn();
  await walk.take(9, null);
  assert.deepEqual([walk.refused.value, walk.fit.value], ["too close", null]);
  walk.back();
  assert.equal(walk.refused.value, null);
  assert.deepEqual(step(walk), { at: "point", index: 0 });
  answers = Promise.resolve(fit);
  await walk.take(0.4, null);
  assert.equal(walk.fit.value, fit);
});

test("back leads step by step to the choice, and no further", async () => {
  const { walk } = walking({}, scale);
  walk.begin();
  await walk.goOn();
  await walk.take(0, null);
  assert.deepEqual(step(walk), { at: "point", index: 1 });
  walk.back();
  walk.back();
  walk.back();
  assert.deepEqual(step(walk), { at: "choose" });
});

test("the known mass is what a person typed", async () => {
  const asked: PointGiven[][] = [];
  const { walk } = walking({
    previewCalibration: (_name, points) => {
      asked.push(points);
      return Promise.resolve(fit);
    },
  }, scale);
  walk.begin();
  await walk.goOn();
  await walk.take(0.1, null);
  await walk.take(199.5, 200);
  assert.deepEqual(asked[0]?.map(({ reference, shown }) => [reference, shown]), [
    [0, 0.1], [200, 199.5],
  ]);
});

test("a reload goes on where it was, and asks again what the points come to", async () => {
  const { walk, again } = walking({ previewCalibration: () => Promise.resolve(fit) });
  walk.begin();
  await walk.goOn();
  assert.deepEqual(step(again()), { at: "point", index: 0 });
  await walk.take(0.4, null);
  const reloaded = again();
  assert.deepEqual(step(reloaded), { at: "result" });
  await new Promise((resolve) => setTimeout(resolve));
  assert.equal(reloaded.fit.value, fit);
});

test("what the tab kept and is no draft is as good as nothing", () => {
  const { keep, again } = walking();
  const odd = [
    "", "{", "null", "[]", "7", '{"step":{"at":"choose"}}',
    '{"step":{"at":"up"},"points":[],"boiling":{"by":"altitude","text":""},"note":""}',
    '{"step":{"at":"choose"},"points":[{"source":"moon","reference":0,"shown":null}],'
      + '"boiling":{"by":"altitude","text":""},"note":""}',
    '{"step":{"at":"choose"},"points":[{"source":"mass","reference":0,"shown":null}],'
      + '"boiling":{"by":"altitude","text":""},"note":""}',
  ];
  for (const text of odd) {
    keep.setItem("pourkeep.calibration.east-pitcher", text);
    assert.equal(again().draft.value, null, text);
  }
});

test("each point needs its own time to stand still", async () => {
  const { walk, feed } = walking({}, scale);
  walk.begin();
  await walk.goOn();
  for (let s = 0; s <= 5; s += 1) {
    feed.send("reading", { ...reading, instrument: "east-scale", shown: 0, taken_at: after(s) });
  }
  assert.equal(walk.steadiness.value.kind, "steady");
  await walk.take(0, null);
  assert.equal(walk.steadiness.value.kind, "waiting");
});

test("a step that is told later counts for what was shown already", () => {
  const { walk, feed } = walking({}, { ...full, resolution: null });
  for (let s = 0; s <= 20; s += 1) {
    feed.send("reading", { ...reading, shown: s % 2 === 0 ? 21 : 22, taken_at: after(s) });
  }
  assert.equal(walk.steadiness.value.kind, "moving");
  walk.resolution.value = 1;
  assert.equal(walk.steadiness.value.kind, "steady");
});

test("discarding leaves nothing behind", async () => {
  const { walk, again } = walking();
  walk.begin();
  await walk.goOn();
  walk.discard();
  assert.equal(walk.draft.value, null);
  assert.equal(again().draft.value, null);
});

test("keeping that is refused keeps the draft and says why", async () => {
  const refuse = (): Promise<never> => Promise.reject(new Refusal(409, "a lot is open", [], "7"));
  const { walk } = walking({
    previewCalibration: () => Promise.resolve(fit), calibrate: refuse,
  });
  walk.begin();
  await walk.goOn();
  await walk.take(0.4, null);
  await walk.keep();
  assert.equal(walk.kept.value, false);
  assert.equal(walk.refused.value, "a lot is open");
  assert.deepEqual(step(walk), { at: "result" });
});
