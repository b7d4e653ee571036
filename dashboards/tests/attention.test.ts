import assert from "node:assert/strict";
import { test } from "node:test";
import { signal } from "@preact/signals";
import { AlarmsModel } from "../src/models/alarms.ts";
import { AttentionModel } from "../src/models/attention.ts";
import { CallPlan } from "../src/models/call_plan.ts";
import { Complaints } from "../src/models/complaints.ts";
import type { Keep } from "../src/models/preferences.ts";
import { FakeSenses } from "../src/senses/fake_senses.ts";
import type { Alarm } from "../src/types.ts";
import { FakeFeed, alarm, keepWith, serviceWith } from "./fixtures.ts";

interface Set {
  feed: FakeFeed;
  senses: FakeSenses;
  attention: AttentionModel;
  lotsOpen: { value: boolean };
  stop: () => void;
}

function attentive(keep: Keep = keepWith()): Set {
  const [feed, senses] = [new FakeFeed(), new FakeSenses()];
  const alarms = new AlarmsModel(feed, serviceWith({}), new Complaints());
  const attention = new AttentionModel(senses, alarms, (text) => text, () => 0, keep);
  const lotsOpen = signal(false);
  return { feed, senses, attention, lotsOpen, stop: attention.start(lotsOpen, feed.status) };
}

const low: Alarm = { ...alarm, id: "low", priority: "low" };

test("an alarm that nobody has seen calls again, the more pressing the sooner", () => {
  const plan = new CallPlan();
  const medium: Alarm = { ...alarm, id: "medium", priority: "medium" };
  const due = (second: number): string[] =>
    plan.due([alarm, medium, low], second * 1000).map(({ id }) => id);
  assert.deepEqual(due(0), ["a", "medium", "low"]);
  assert.deepEqual(due(14), []);
  assert.deepEqual(due(15), ["a"]);
  assert.deepEqual(due(60), ["a", "medium"]);
  assert.deepEqual(due(3600), ["a", "medium"]);
});

test("an alarm that was seen, put aside or is gone does not call", () => {
  const plan = new CallPlan();
  for (const state of ["acknowledged", "shelved", "cleared", "ended", "suppressed"] as const) {
    assert.deepEqual(plan.due([{ ...alarm, state }], 0), []);
  }
});

test("an alarm that comes back after it was gone calls at once", () => {
  const plan = new CallPlan();
  plan.due([alarm], 0);
  plan.due([{ ...alarm, state: "cleared" }], 1_000);
  assert.deepEqual(plan.due([alarm], 2_000), [alarm]);
});

test("with sound on, an alarm chimes, is said aloud and buzzes, once", async () => {
  const { feed, senses, attention, stop } = attentive();
  await attention.arm();
  feed.send("alarm", alarm);
  feed.send("alarm", { ...alarm, measured: 75 });
  stop();
  assert.deepEqual(senses.did, [
    "chime low", "buzz high", "chime high", "speak Too cool. Warm it.",
  ]);
});

test("with sound off, a phone still buzzes", () => {
  const { feed, senses, stop } = attentive();
  feed.send("alarm", alarm);
  stop();
  assert.deepEqual(senses.did, ["buzz high"]);
});

test("after a reload sound waits for a press, and what is unseen calls then", async () => {
  const keep = keepWith();
  const before = attentive(keep);
  await before.attention.arm();
  before.stop();
  const { feed, senses, attention, stop } = attentive(keep);
  assert.equal(attention.sound.value, "waiting");
  feed.send("alarm", alarm);
  assert.deepEqual(senses.did, []);
  attention.pressed();
  await Promise.resolve();
  stop();
  assert.equal(attention.sound.value, "on");
  assert.deepEqual(senses.did, ["buzz high", "chime high", "speak Too cool. Warm it."]);
});

test("whoever wants no voice hears the chime alone", async () => {
  const { feed, senses, attention, stop } = attentive();
  attention.wishes.voice.on.value = false;
  attention.wishes.buzz.on.value = false;
  await attention.arm();
  feed.send("alarm", low);
  stop();
  assert.deepEqual(senses.did, ["chime low", "chime low"]);
});

test("the screen stays lit while a lot is open, unless that is not wanted", () => {
  const { senses, attention, lotsOpen, stop } = attentive();
  assert.equal(senses.lit.value, false);
  lotsOpen.value = true;
  assert.equal(senses.lit.value, true);
  attention.wishes.lit.on.value = false;
  assert.equal(senses.lit.value, false);
  stop();
});
