import assert from "node:assert/strict";
import { test } from "node:test";
import { Refusal } from "../src/feed/refusal.ts";
import { AlarmsModel, answersTo, sortAlarms, wantsAcknowledging } from "../src/models/alarms.ts";
import type { Writing } from "../src/models/alarms.ts";
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

test("an alarm raised while nobody looked is read out once, whichever way it comes", async () => {
  const alarms = [alarm];
  for (const fetchedFirst of [true, false]) {
    const feed = new FakeFeed();
    const model = new AlarmsModel(
      feed, serviceWith({ alarms: async () => alarms }), new Complaints(),
    );
    alarms.length = 1;
    await model.load();
    const heard: string[] = [];
    model.announced.subscribe((each) => void (each !== null && heard.push(each.id)));
    alarms.push({ ...alarm, id: "low", priority: "low" }, { ...alarm, id: "high" });
    if (fetchedFirst) await model.load();
    for (const each of alarms) feed.send("alarm", each);
    await model.load();
    assert.deepEqual(heard.sort(), ["high", "low"]);
    assert.equal(model.announced.value?.id, "high"); // the last is the most pressing
  }
});

test("what is told while all is being fetched is newer than what comes", async () => {
  const feed = new FakeFeed();
  let answer = (_alarms: Alarm[]): void => undefined;
  const asked = new Promise<Alarm[]>((resolve) => answer = resolve);
  const model = new AlarmsModel(feed, serviceWith({ alarms: () => asked }), new Complaints());
  feed.send("alarm", { ...alarm, id: "old" });
  const loading = model.load();
  feed.send("alarm", { ...alarm, id: "new" });
  feed.send("alarm", { ...alarm, id: "gone", state: "ended" });
  answer([{ ...alarm, id: "gone" }]);
  await loading;
  assert.deepEqual(ids(model), ["new"]);
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
  assert.deepEqual(sorted.banner.map(({ id }) => id), ["first"]);
  assert.deepEqual(sorted.others.map(({ id }) => id), ["second"]);
  assert.deepEqual(sorted.over.map(({ id }) => id), ["over"]);
  assert.deepEqual(sorted.quiet.map(({ id }) => id), ["seen"]);
});

test("what can be done with an alarm follows from its state", () => {
  const seen = { acknowledged_at: after(5) };
  assert.deepEqual(answersTo(alarm), ["acknowledge", "shelve"]);
  assert.deepEqual(answersTo({ ...alarm, ...seen, state: "acknowledged" }), ["shelve"]);
  assert.deepEqual(answersTo({ ...alarm, state: "shelved" }), ["unshelve"]);
  assert.deepEqual(answersTo({ ...alarm, state: "suppressed" }), []);
  assert.deepEqual(answersTo({ ...alarm, state: "out of service" }), []);
});

test("a latched alarm can be let go, and is acknowledged only once", () => {
  const latched: Alarm = { ...alarm, state: "latched", latched: true };
  assert.deepEqual(answersTo(latched), ["acknowledge", "reset"]);
  assert.deepEqual(answersTo({ ...latched, acknowledged_at: after(5) }), ["reset"]);
  assert.deepEqual(sortAlarms([latched]).held, [latched]);
  assert.deepEqual(sortAlarms([latched]).quiet, []);
});

test("an alarm is put aside with its reason and brought back, and both are confirmed", async () => {
  const feed = new FakeFeed();
  const asked: unknown[] = [];
  const service = serviceWith({
    shelve: async (...of) => {
      asked.push(of);
      return { ...alarm, state: "shelved", shelved_reason: of[2] };
    },
    unshelve: async (...of) => {
      asked.push(of);
      return alarm;
    },
  });
  const model = new AlarmsModel(feed, service, new Complaints());
  feed.send("alarm", alarm);
  await model.shelve(alarm, 15, "being put right");
  assert.equal(model.current.value[0]?.shelved_reason, "being put right");
  assert.equal(model.answered.value?.answer, "shelve");
  await model.unshelve(alarm);
  assert.equal(model.current.value[0]?.state, "active");
  assert.deepEqual(asked, [["a", 15, "being put right"], ["a"]]);
});

test("an alarm that is written about keeps its place, whatever becomes of it", () => {
  const writing: Writing = { alarm: "a", form: "acknowledge", place: "banner" };
  const over: Alarm = { ...alarm, state: "cleared" };
  const next: Alarm = { ...alarm, id: "b" };
  assert.deepEqual(sortAlarms([over], writing).banner, [over]);
  const sorted = sortAlarms([next, over], writing);
  assert.deepEqual(sorted.banner, [next, over]);
  assert.deepEqual([sorted.over, sorted.others], [[], []]);
  const below = sortAlarms([alarm, next], { ...writing, place: "others" });
  assert.deepEqual([below.banner, below.others], [[next], [alarm]]);
  assert.deepEqual(sortAlarms([next, over]).over, [over]);
});

test("an alarm that ends while somebody writes about it stays until the form is closed", async () => {
  const feed = new FakeFeed();
  const model = new AlarmsModel(
    feed, serviceWith({ alarms: async () => [] }), new Complaints(),
  );
  feed.send("alarm", alarm);
  model.write({ alarm: "a", form: "shelve", place: "banner" });
  feed.send("alarm", { ...alarm, state: "ended" });
  assert.deepEqual(ids(model), ["a"]);
  await model.load();
  assert.deepEqual(ids(model), ["a"]);
  assert.equal(model.current.value[0]?.state, "ended");
  model.leave();
  assert.deepEqual(ids(model), []);
});

test("a form closes with its own answer and with no other", async () => {
  const feed = new FakeFeed();
  const service = serviceWith({
    acknowledge: async () => ({ ...alarm, state: "acknowledged" }),
    shelve: async () => ({ ...alarm, state: "shelved" }),
  });
  const model = new AlarmsModel(feed, service, new Complaints());
  feed.send("alarm", alarm);
  model.write({ alarm: "a", form: "shelve", place: "banner" });
  await model.acknowledge(alarm);
  assert.equal(model.writing.value?.form, "shelve");
  await model.shelve(alarm, 5, "being put right");
  assert.equal(model.writing.value, null);
});

test("a refused answer leaves its form open", async () => {
  const feed = new FakeFeed();
  const shelve = (): Promise<Alarm> => Promise.reject(new Refusal(409, "It is over.", [], null));
  const model = new AlarmsModel(feed, serviceWith({ shelve }), new Complaints());
  feed.send("alarm", alarm);
  model.write({ alarm: "a", form: "shelve", place: "banner" });
  await model.shelve(alarm, 5, "being put right");
  assert.equal(model.writing.value?.alarm, "a");
});

test("letting go of an alarm that still holds is refused with the service's sentence", async () => {
  const feed = new FakeFeed();
  const complaints = new Complaints();
  const reset = (): Promise<Alarm> =>
    Promise.reject(new Refusal(409, "The pot is still too hot.", [], null));
  const model = new AlarmsModel(feed, serviceWith({ reset }), complaints);
  feed.send("alarm", { ...alarm, state: "latched" });
  await model.reset(alarm);
  assert.equal(complaints.latest.value?.message, "The pot is still too hot.");
  assert.equal(model.answered.value, null);
});

test("a suppressed alarm names the instrument, whether by its alarm or by its name", async () => {
  const silent: Alarm = { ...alarm, id: "s", rule: "instrument-silent", subject: "east-pitcher" };
  const service = serviceWith({ alarms: async () => [silent] });
  const model = new AlarmsModel(new FakeFeed(), service, new Complaints());
  await model.load();
  assert.equal(model.suppressor({ ...alarm, suppressed_by: "s" }), "east-pitcher");
  assert.equal(model.suppressor({ ...alarm, suppressed_by: "east-pot" }), "east-pot");
  assert.equal(model.suppressor(alarm), null);
});

test("a state that this screen does not know comes last and offers nothing", async () => {
  const strange = { ...alarm, id: "strange", state: "resting" } as unknown as Alarm;
  const seen: Alarm = { ...alarm, id: "seen", state: "acknowledged" };
  const service = serviceWith({ alarms: async () => [strange, seen] });
  const model = new AlarmsModel(new FakeFeed(), service, new Complaints());
  await model.load();
  assert.deepEqual(ids(model), ["seen", "strange"]);
  assert.deepEqual(answersTo(strange), []);
});
