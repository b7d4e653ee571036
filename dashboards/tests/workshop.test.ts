import assert from "node:assert/strict";
import { test } from "node:test";
import { setImmediate } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import { PreferencesModel } from "../src/models/preferences.ts";
import type { WorkshopModel } from "../src/models/workshop.ts";
import { FakeFeed, alarm, keepWith, modelWith, probe, serviceWith, workshop } from "./fixtures.ts";

function workshopModel(feed: FakeFeed): WorkshopModel {
  const service = serviceWith({
    workshop: async () => workshop, alarms: async () => [alarm], instruments: async () => [probe],
    lots: async () => [],
  });
  return modelWith(feed, service);
}

test("everything is fetched again after the connection broke", async () => {
  const feed = new FakeFeed();
  const model = workshopModel(feed);
  const stop = model.start();
  await setImmediate();
  assert.equal(model.connection.value, 1);
  feed.status.value = "lost";
  feed.status.value = "live";
  await setImmediate();
  assert.equal(model.connection.value, 2);
  stop();
});

test("pages fetch their own also where some of what all share was refused", async () => {
  const feed = new FakeFeed();
  const refused = async (): Promise<never> => {
    throw new Refusal(503, "The list of lots cannot be read.", [], null);
  };
  const model = modelWith(feed, serviceWith({
    workshop: async () => workshop, alarms: async () => [], instruments: async () => [],
    lots: refused,
  }));
  await model.load();
  assert.equal(model.connection.value, 1);
  assert.equal(model.complaints.latest.value?.message, "The list of lots cannot be read.");
});

test("a screen whose sound is on is connected while hidden too; without it may rest", async () => {
  const feed = new FakeFeed();
  const model = workshopModel(feed);
  const stop = model.start();
  assert.equal(feed.mayRest.value, true);
  await model.attention.arm();
  assert.equal(feed.mayRest.value, false);
  model.attention.disarm();
  assert.equal(feed.mayRest.value, true);
  stop();
});

test("the first bench is shown without a wish, not in place of an unknown one", async () => {
  const model = workshopModel(new FakeFeed());
  await model.load();
  assert.equal(model.benchNamed(null), "east");
  assert.equal(model.benchNamed("west"), "west");
  assert.equal(model.benchNamed("attic"), null);
});

test("that nothing can be written is known at the next beat, and that it can again", async () => {
  const feed = new FakeFeed();
  const model = workshopModel(feed);
  await model.load();
  const trouble = (): string | null => model.trouble.value;
  feed.send("beat", { now: workshop.now, trouble: "The disk is full.", notice: null });
  assert.equal(trouble(), "The disk is full.");
  feed.send("beat", { now: workshop.now, trouble: null, notice: null });
  assert.equal(trouble(), null);
});

test("what is not yet trouble is known at the next beat too, and takes nothing from it", async () => {
  const feed = new FakeFeed();
  const model = workshopModel(feed);
  await model.load();
  const notice = (): string | null => model.notice.value;
  assert.equal(notice(), null);
  feed.send("beat", { now: workshop.now, trouble: null, notice: "The disk is nearly full." });
  assert.equal(notice(), "The disk is nearly full.");
  assert.equal(model.trouble.value, null);
  await model.load();
  assert.equal(notice(), null);
});

test("a service that cannot be asked becomes a complaint, not a crash", async () => {
  const [feed, service] = [new FakeFeed(), serviceWith({})];
  const model = modelWith(feed, service);
  await model.load();
  assert.equal(model.complaints.latest.value?.message, "not expected");
});

test("a person's units outlive the page; without any the workshop's are used", () => {
  const keep = keepWith();
  const first = new PreferencesModel(keep);
  first.workshop.value = { temperature: "degC", mass: "oz" };
  first.switchTemperature();
  const second = new PreferencesModel(keep);
  second.workshop.value = { temperature: "degC", mass: "oz" };
  assert.deepEqual(second.display.value, { temperature: "degF", mass: "oz" });
});
