import assert from "node:assert/strict";
import { test } from "node:test";
import { Refusal } from "../src/feed/refusal.ts";
import { AlarmsModel, sortAlarms, wantsAcknowledging } from "../src/models/alarms.ts";
import { Complaints } from "../src/models/complaints.ts";
import type { Alarm } from "../src/types.ts";
import { FakeFeed, after, alarm, serviceWith } from "./fixtures.ts";

const ids = (model: AlarmsModel): string[] => model.current.value.map(({ id }) => id);

test("alarms come unseen before seen, then by priority, then the newest first", async () => {
  const alarms: Alarm[] = [
    { ...alarm, id: "seen", state: "acknowledged" },
    { ...alarm, id: "low", priority: "low" },
    { ...alarm, id: "older" },
    { ...alarm, id: "newer", raised_at: after(5) },
    { ...alarm, id: "over", state: "cleared" },
  ];
  const model = new AlarmsModel(
    new FakeFeed(), serviceWith({ alarms: async () => alarms }), new Complaints(),
  );
  await model.load();
  assert.deepEqual(ids(model), ["newer", "older", "low", "over", "seen"]);
});

test("only an alarm that is new while the page is open is read out", async () => {
  const feed = new FakeFeed();
  const service = serviceWith({ alarms: async () => [alarm] });
  const model = new AlarmsModel(feed, service, new Complaints());
  await model.load();
  feed.send("alarm", { ...alarm, measured: 75 });
  const announced = (): string | null => model.announced.value?.id ?? null;
  assert.equal(announced(), null);
  feed.send("alarm", { ...alarm, id: "b" });
  assert.equal(announced(), "b");
});

test("an ended alarm leaves the list", () => {
  const feed = new FakeFeed();
  const model = new AlarmsModel(feed, serviceWith({}), new Complaints());
  feed.send("alarm", alarm);
  feed.send("alarm", { ...alarm, state: "ended" });
  assert.deepEqual(ids(model), []);
});

test("acknowledging shows what the service made of it", async () => {
  const feed = new FakeFeed();
  const acknowledge = async (): Promise<Alarm> => ({ ...alarm, state: "acknowledged" });
  const model = new AlarmsModel(feed, serviceWith({ acknowledge }), new Complaints());
  feed.send("alarm", alarm);
  await model.acknowledge(alarm);
  const [shown] = model.current.value;
  assert.ok(shown !== undefined && !wantsAcknowledging(shown));
});

test("a refused acknowledgement is shown and leaves the alarm as it was", async () => {
  const feed = new FakeFeed();
  const complaints = new Complaints();
  const refusal = new Refusal(404, "No such alarm.", [], null);
  const acknowledge = (): Promise<Alarm> => Promise.reject(refusal);
  const model = new AlarmsModel(feed, serviceWith({ acknowledge }), complaints);
  feed.send("alarm", alarm);
  await model.acknowledge(alarm);
  assert.equal(complaints.latest.value?.message, "No such alarm.");
  assert.equal(model.current.value[0]?.state, "active");
});

test("those that are over are counted apart from the active ones", () => {
  const sorted = sortAlarms([
    { ...alarm, id: "first" }, { ...alarm, id: "second" },
    { ...alarm, id: "over", state: "cleared" }, { ...alarm, id: "seen", state: "acknowledged" },
  ]);
  assert.equal(sorted.first?.id, "first");
  assert.deepEqual(sorted.others.map(({ id }) => id), ["second"]);
  assert.deepEqual(sorted.over.map(({ id }) => id), ["over"]);
  assert.deepEqual(sorted.quiet.map(({ id }) => id), ["seen"]);
});
