import assert from "node:assert/strict";
import { test } from "node:test";
import type { TestContext } from "node:test";
import { setImmediate } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import { BenchCurvesModel } from "../src/models/bench_curves.ts";
import type { Reading } from "../src/types.ts";
import { FakeFeed, probe, reading, serviceWith } from "./fixtures.ts";

/** What the service keeps of one channel; everything that was said up to now is in it. */
class Kept {
  readonly t: number[] = [];
  readonly asked: (number | null)[] = [];

  readonly service = serviceWith({
    benchCurve: async (_bench, channel, _minutes, since) => {
      this.asked.push(since);
      const t = this.t.filter((at) => at >= (since ?? -Infinity));
      return { channel, unit: "degC", t, value: t.map((at) => at / 2) };
    },
  });

  say(t: number): Reading {
    this.t.push(t);
    return { ...reading, t, value: t / 2 };
  }
}

function opened(): { feed: FakeFeed; kept: Kept; model: BenchCurvesModel; held: () => number[] } {
  const [feed, kept] = [new FakeFeed(), new Kept()];
  const model = new BenchCurvesModel("east", feed, kept.service);
  return { feed, kept, model, held: () => [...(model.curves.value[0]?.samples.t ?? [])] };
}

test("the history and what comes live make one curve", async () => {
  const { feed, kept, model, held } = opened();
  kept.say(1);
  kept.say(2);
  const loading = model.load([probe]);
  feed.send("reading", kept.say(3));
  await loading;
  feed.send("reading", kept.say(4));
  assert.deepEqual(held(), [1, 2, 3, 4]);
  model.close();
});

test("a first question that fails is asked again by itself", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const kept = new Kept();
  kept.say(1);
  let fails = true;
  const service = serviceWith({
    benchCurve: (...asked) => {
      if (!fails) return kept.service.benchCurve(...asked);
      fails = false;
      return Promise.reject(new Refusal(503, "The store is busy.", [], null));
    },
  });
  const model = new BenchCurvesModel("east", new FakeFeed(), service);
  await assert.rejects(model.load([probe]), Refusal);
  t.mock.timers.tick(60_000);
  await setImmediate();
  assert.deepEqual([...(model.curves.value[0]?.samples.t ?? [])], [1]);
  model.close();
});

test("what was missed while the line was cut is fetched, and no more than that", async () => {
  const { feed, kept, model, held } = opened();
  for (let t = 0; t < 200; t += 1) kept.say(t);
  await model.load([probe]);
  feed.status.value = "lost";
  for (let t = 200; t < 230; t += 1) kept.say(t);
  feed.status.value = "live";
  feed.send("reading", kept.say(230)); // before the rest was asked for
  await model.load([probe]);
  feed.send("reading", kept.say(231));
  assert.deepEqual(held(), kept.t);
  assert.equal(kept.asked.length, 2);
  assert.ok((kept.asked[1] ?? 0) > 100);
  model.close();
});

test("a rest while nobody looks is a break as well, and the curve stays in sight", async () => {
  const { feed, kept, model, held } = opened();
  kept.say(1);
  await model.load([probe]);
  const curves = model.curves.value;
  feed.status.value = "resting";
  kept.say(2);
  feed.status.value = "live";
  await model.load([probe]);
  assert.equal(model.curves.value, curves);
  assert.deepEqual(held(), [1, 2]);
  model.close();
});

test("where the times were moved meanwhile everything is fetched anew", async () => {
  const { feed, kept, model, held } = opened();
  kept.say(10);
  kept.say(11);
  await model.load([probe]);
  feed.status.value = "lost";
  kept.t.splice(0, 2, 5, 6);
  feed.status.value = "live";
  await model.load([probe]);
  assert.deepEqual(held(), [5, 6]);
  assert.deepEqual(kept.asked, [null, 10, null]);
  model.close();
});

test("readings that were too many to be told are fetched a little later", async (t: TestContext) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const { feed, kept, model, held } = opened();
  kept.say(1);
  await model.load([probe]);
  for (const at of [2, 3, 4]) kept.say(at);
  feed.send("reading", { ...kept.say(5), skipped: 3 });
  assert.deepEqual(held(), [1, 5]);
  t.mock.timers.tick(5_000);
  await setImmediate();
  assert.deepEqual(held(), [1, 2, 3, 4, 5]);
  model.close();
});

test("a reading without a number is not in the curve", async () => {
  const { feed, kept, model, held } = opened();
  await model.load([probe]);
  feed.send("reading", { ...kept.say(1), quality: "bad" });
  assert.deepEqual(held(), []);
  model.close();
});
