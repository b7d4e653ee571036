import assert from "node:assert/strict";
import { test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import { Complaints } from "../src/models/complaints.ts";
import { LotModel } from "../src/models/lot.ts";
import { LotsModel } from "../src/models/lots.ts";
import {
  bandsOf, linesOf, marksOf, rangeOf, spansOf, stretchesOf,
} from "../src/models/pictures.ts";
import type { GoodLots, LotEntry } from "../src/types.ts";
import { FakeFeed, NOON_MS, after, alarm, lot, serviceWith } from "./fixtures.ts";

const US = { temperature: "degF", mass: "oz" } as const;
const METRIC = { temperature: "degC", mass: "g" } as const;
const entry: LotEntry = {
  id: "7", bench: "east", recipe: "Cedar smoke", vessels: 12, state: "open",
  opened_at: after(0), closed_at: null, deviations: 0, fills: 0, kept: false,
};

test("several changes of a lot are answered by one question, others' changes by none", async () => {
  const feed = new FakeFeed();
  let asked = 0;
  const service = serviceWith({
    lot: async () => {
      asked += 1;
      return lot;
    },
  });
  const model = new LotModel("7", feed, service, new Complaints());
  feed.send("phase", { lot: "7", bench: "east" });
  feed.send("weighing", { lot: "7", bench: "east" });
  feed.send("alarm", alarm);
  feed.send("phase", { lot: "8", bench: "west" });
  await wait(400);
  assert.equal(asked, 1);
  model.close();
  feed.send("phase", { lot: "7", bench: "east" });
  await wait(400);
  assert.equal(asked, 1);
});

test("what was measured is fetched again with the lot, once somebody looked at it", async () => {
  const feed = new FakeFeed();
  let measured = 0;
  const service = serviceWith({
    lot: async () => lot,
    measured: async () => {
      measured += 1;
      return [];
    },
  });
  const model = new LotModel("7", feed, service, new Complaints());
  feed.send("lot", { ...entry, fills: 1 });
  await wait(400);
  assert.equal(measured, 0);
  await model.loadMeasured();
  feed.send("lot", { ...entry, fills: 2 });
  await wait(400);
  assert.equal(measured, 2);
  model.close();
});

test("a lot that changes keeps one place in the list, newest first", () => {
  const feed = new FakeFeed();
  const model = new LotsModel(feed, serviceWith({}));
  feed.send("lot", entry);
  feed.send("lot", { ...entry, id: "8", opened_at: after(60) });
  feed.send("lot", { ...entry, deviations: 2 });
  const shown = model.entries.value?.map(({ id, deviations }) => [id, deviations]);
  assert.deepEqual(shown, [["8", 0], ["7", 2]]);
});

test("windows and the wax's limit are bands in the person's unit", () => {
  assert.deepEqual(bandsOf(lot, METRIC), [
    { low: 80, high: 85, label: "add 80.0 – 85.0 °C" },
    { low: 93, high: 93, label: "never above 93.0 °C" },
  ]);
  assert.deepEqual(bandsOf(lot, US)[0], { low: 176, high: 185, label: "add 176.0 – 185.0 °F" });
});

test("what still goes on reaches to now; gaps are named among the phases", () => {
  const noon = NOON_MS / 1000;
  assert.deepEqual(spansOf(lot, noon + 90), [
    { from: noon + 10, to: noon + 20, label: "nothing collected", kind: "gap" },
    { from: noon + 60, to: noon + 90, label: "Stir", kind: "phase" },
  ]);
});

test("deviations carry the number that they have in the list", () => {
  assert.deepEqual(marksOf(lot), [{ at: NOON_MS / 1000, label: "1", kind: "deviation" }]);
});

test("lines are converted point by point, gaps stay gaps", () => {
  const { lines } = linesOf(
    [{ channel: "east-pitcher", role: "pitcher", t: [1, 2], value: [100, null] }], US,
  );
  assert.deepEqual(lines[0]?.values, [212, null]);
});

test("a lot that the service does not know is missing, and that is no complaint", async () => {
  const refused = async (): Promise<never> => {
    throw new Refusal(404, "the service's own words", [], null);
  };
  const complaints = new Complaints();
  const model = new LotModel("nonsense", new FakeFeed(), serviceWith({ lot: refused }), complaints);
  await model.load();
  assert.equal(model.missing.value, true);
  assert.equal(complaints.latest.value, null);
});

test("any other refusal of a lot is a complaint", async () => {
  const complaints = new Complaints();
  const model = new LotModel("7", new FakeFeed(), serviceWith({}), complaints);
  await model.load();
  assert.equal(model.missing.value, false);
  assert.equal(complaints.latest.value?.status, 500);
});

test("a chart has room for a mark at either end of its time", () => {
  assert.deepEqual(rangeOf(1000, 1100), { from: 999, to: 1101 });
});

const good: GoodLots = {
  lots: ["1", "2", "3"],
  stretches: [{ anchor: "stirred", t: [100, 110], low: [60, 55], high: [65, 60] }],
};

test("the band of good lots is drawn in the person's unit, on the lot's own clock", () => {
  assert.deepEqual(stretchesOf(good, METRIC), [{ t: [100, 110], low: [60, 55], high: [65, 60] }]);
  // NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32
  assert.deepEqual(stretchesOf(good, US)[0]?.low, [140, 131]);
  assert.deepEqual(stretchesOf(null, METRIC), []);
});

async function goodLotsOf(answer: () => Promise<GoodLots>) {
  const complaints = new Complaints();
  const service = serviceWith({ goodLots: answer });
  const model = new LotModel("7", new FakeFeed(), service, complaints);
  await model.loadGoodLots();
  return { shown: model.goodLots.value, complaint: complaints.latest.value };
}

test("that there is no band of good lots is no complaint, any other refusal is one", async () => {
  const refuse = (status: number) => (): Promise<never> =>
    Promise.reject(new Refusal(status, "no", [], null));
  assert.deepEqual(await goodLotsOf(refuse(404)), { shown: null, complaint: null });
  assert.equal((await goodLotsOf(refuse(500))).complaint?.status, 500);
  assert.deepEqual((await goodLotsOf(async () => good)).shown, good);
});

test("a verdict is kept and then shown as the service has it", async () => {
  const kept: unknown[] = [];
  const service = serviceWith({
    judge: async (...said) => void kept.push(said),
    lot: async () => ({
      ...lot, state: "closed", verdict: { good: true, note: "even tops", at: after(60) },
    }),
  });
  const model = new LotModel("7", new FakeFeed(), service, new Complaints());
  await model.judge(true, "even tops");
  assert.deepEqual(kept, [["7", true, "even tops"]]);
  assert.equal(model.lot.value?.verdict?.note, "even tops");
});

test("a refused verdict is shown and leaves the lot as it was", async () => {
  const complaints = new Complaints();
  const judge = (): Promise<never> =>
    Promise.reject(new Refusal(409, "Lot 7 is still open.", [], null));
  const model = new LotModel("7", new FakeFeed(), serviceWith({ judge }), complaints);
  await model.judge(false, "");
  assert.equal(complaints.latest.value?.message, "Lot 7 is still open.");
  assert.equal(model.lot.value, null);
});
