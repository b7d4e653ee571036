import assert from "node:assert/strict";
import { test } from "node:test";
import { AlarmsModel } from "../src/models/alarms.ts";
import { BenchModel } from "../src/models/bench.ts";
import { Complaints } from "../src/models/complaints.ts";
import { LotModel } from "../src/models/lot.ts";
import { LotsModel } from "../src/models/lots.ts";
import { ToldMeanwhile } from "../src/models/told_meanwhile.ts";
import type { Alarm, BenchState, Instrument, Lot, LotEntry } from "../src/types.ts";
import {
  FakeFeed, after, alarm, idleBench, lot, modelWith, probe, serviceWith, stirring,
} from "./fixtures.ts";

/** An answer that comes when the test says so. */
function late<T>(): { asked: () => Promise<T>; answer: (value: T) => void } {
  let answer = (_value: T): void => undefined;
  const coming = new Promise<T>((resolve) => answer = resolve);
  return { asked: () => coming, answer: (value) => answer(value) };
}

test("what was told is named from the watch on, and by each watch for itself", () => {
  const meanwhile = new ToldMeanwhile();
  meanwhile.note("a");
  const first = meanwhile.watch();
  meanwhile.note("b");
  const second = meanwhile.watch();
  meanwhile.note("a");
  assert.deepEqual([first().sort(), second()], [["a", "b"], ["a"]]);
});

test("where a bench stands is not overwritten by an answer that was overtaken", async () => {
  const feed = new FakeFeed();
  const { asked, answer } = late<BenchState>();
  const model = new BenchModel("east", feed, serviceWith({ bench: asked }), new Complaints());
  const loading = model.load();
  feed.send("bench", stirring);
  feed.send("bench", { ...idleBench, bench: "west" });
  answer(idleBench);
  await loading;
  assert.deepEqual(model.state.value, stirring);
});

test("a list of lots that was overtaken keeps what was told of each", async () => {
  const feed = new FakeFeed();
  const { asked, answer } = late<LotEntry[]>();
  const model = new LotsModel(feed, serviceWith({ lots: asked }));
  const entry: LotEntry = {
    id: "7", bench: "east", recipe: "Cedar smoke", vessels: 12, state: "open",
    opened_at: after(0), closed_at: null, deviations: 0, fills: 0, kept: false,
  };
  const loading = model.load();
  feed.send("lot", { ...entry, state: "closed" });
  feed.send("lot", { ...entry, id: "8", opened_at: after(60) });
  answer([entry, { ...entry, id: "6", opened_at: after(-60) }]);
  await loading;
  const shown = model.entries.value?.map(({ id, state }) => `${id} ${state}`);
  assert.deepEqual(shown, ["8 open", "7 closed", "6 open"]);
});

test("an instrument that was unplugged meanwhile is not shown as giving readings", async () => {
  const feed = new FakeFeed();
  const { asked, answer } = late<Instrument[]>();
  const { instruments } = modelWith(feed, serviceWith({ instruments: asked }));
  const loading = instruments.load();
  feed.send("instrument", { ...probe, state: "lost" });
  answer([probe, { ...probe, name: "other" }]);
  await loading;
  assert.deepEqual(instruments.all.value.map(({ state }) => state), ["lost", probe.state]);
});

test("an instrument that is configured no longer is gone after the next question", async () => {
  const feed = new FakeFeed();
  const here = [probe, { ...probe, name: "old" }];
  const { instruments } = modelWith(feed, serviceWith({ instruments: async () => here }));
  await instruments.load();
  here.pop();
  await instruments.load();
  assert.deepEqual(instruments.all.value.map(({ name }) => name), [probe.name]);
});

test("the answer to a press brings no alarm back that has ended meanwhile", async () => {
  const feed = new FakeFeed();
  const { asked, answer } = late<Alarm>();
  const service = serviceWith({ acknowledge: asked });
  const model = new AlarmsModel(feed, service, new Complaints());
  feed.send("alarm", alarm);
  const pressed = model.acknowledge(alarm);
  feed.send("alarm", { ...alarm, state: "ended" });
  answer({ ...alarm, state: "acknowledged" });
  await pressed;
  assert.deepEqual(model.current.value, []);
  assert.equal(model.answered.value?.answer, "acknowledge");
});

test("a lot that was asked for twice shows the later answer, whichever comes first", async () => {
  const answers = [late<Lot>(), late<Lot>()] as const;
  let turn = 0;
  const service = serviceWith({ lot: () => answers[turn++ % 2]?.asked() ?? Promise.reject() });
  const model = new LotModel("7", new FakeFeed(), service, new Complaints());
  const loading = [model.load(), model.load()];
  answers[1].answer({ ...lot, vessels: 2 });
  await loading[1];
  answers[0].answer({ ...lot, vessels: 1 });
  await loading[0];
  assert.equal(model.lot.value?.vessels, 2);
});
