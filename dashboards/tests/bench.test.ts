import assert from "node:assert/strict";
import { test } from "node:test";
import type { Service } from "../src/feed/service.ts";
import { BenchModel, isAwaited } from "../src/models/bench.ts";
import { Complaints } from "../src/models/complaints.ts";
import type { BenchState, Mark, Undoable } from "../src/types.ts";
import { bench, phaseName } from "../src/words.ts";
import { FakeFeed, NOON, after, idleBench, serviceWith, stirring } from "./fixtures.ts";

async function benchWith(state: BenchState, answers: Partial<Service> = {}) {
  const feed = new FakeFeed();
  const service = serviceWith({ bench: async () => state, ...answers });
  const clock = { ms: 0 };
  const model = new BenchModel("east", feed, service, new Complaints(), () => clock.ms);
  await model.load();
  return { feed, model, clock };
}

const began: Undoable = { phase: "stir", edge: "begin", at: NOON, until: after(300) };
const ended: Undoable = { phase: "stir", edge: "end", at: after(60), until: after(360) };

/** A bench with two marks, the later of which is taken back first; and which were asked for. */
async function benchWithTwoMarks() {
  const asked: string[] = [];
  const states = [{ ...stirring, undo: ended }, { ...stirring, undo: began }, stirring];
  const made = await benchWith(stirring, {
    bench: async () => states[asked.length] ?? stirring,
    undo: async (lot, at) => {
      asked.push(`${lot} ${at}`);
      return { withdrawn_at: after(70) };
    },
  });
  made.clock.ms = 1_000;
  return { ...made, asked };
}

test("the button marks what the bench wants next", async () => {
  const marks: [string, Mark][] = [];
  const mark: Service["mark"] = async (lot, made) => {
    marks.push([lot, made]);
    return { at: after(121) };
  };
  const { model } = await benchWith(stirring, { mark });
  await model.mark();
  assert.deepEqual(marks, [["7", { phase: "stir", edge: "end" }]]);
});

test("what can be taken back is what the bench says, after a reload too", async () => {
  const { feed, model } = await benchWith({ ...stirring, undo: began });
  assert.deepEqual(model.undoable.value, began);
  feed.send("bench", stirring);
  assert.equal(model.undoable.value, null);
});

test("taking back names the mark that was shown, and says afterwards which it was", async () => {
  const { model, asked } = await benchWithTwoMarks();
  await model.undo();
  assert.deepEqual(asked, [`7 ${ended.at}`]);
  assert.deepEqual(model.takenBack.value, ended);
  assert.deepEqual(model.undoable.value, began);
});

test("a key that bounces does not take the mark before back as well", async () => {
  const { model, asked, clock } = await benchWithTwoMarks();
  await model.undo();
  clock.ms += 600;
  await model.undo();
  assert.equal(asked.length, 1);
  clock.ms += 200;
  await model.undo();
  assert.deepEqual(asked, [`7 ${ended.at}`, `7 ${began.at}`]);
});

test("a press that bounces does not take back what it has just marked", async () => {
  const { feed, model, asked, clock } = await benchWithTwoMarks();
  feed.send("bench", { ...stirring, undo: began });
  clock.ms += 600;
  await model.undo();
  assert.deepEqual(asked, []);
});

test("where nothing can be taken back, nothing is asked for", async () => {
  const { model } = await benchWith(stirring);
  await model.undo();
  assert.equal(model.takenBack.value, null);
});

test("what was taken back is said until the next mark", async () => {
  const { feed, model } = await benchWithTwoMarks();
  await model.undo();
  feed.send("bench", { ...stirring, undo: began });
  assert.deepEqual(model.takenBack.value, ended);
  feed.send("bench", { ...stirring, undo: { ...ended, at: after(90), until: after(390) } });
  assert.equal(model.takenBack.value, null);
});

test("a second press while the first is on its way marks nothing", async () => {
  let asked = 0;
  const mark: Service["mark"] = async () => {
    asked += 1;
    return { at: after(1) };
  };
  const { model } = await benchWith(stirring, { mark });
  await Promise.all([model.mark(), model.mark()]);
  assert.equal(asked, 1);
  assert.equal(model.busy.value, false);
});

test("there is nothing to mark without a lot, or where the bench waits for the scale", async () => {
  const idle = await benchWith(idleBench);
  assert.equal(idle.model.canMark(), false);
  const pouring = await benchWith({ ...stirring, next_mark: null });
  assert.equal(pouring.model.canMark(), false);
});

test("another bench's state is not taken", async () => {
  const { feed, model } = await benchWith(stirring);
  feed.send("bench", { ...stirring, bench: "west", do: "Pour" });
  assert.equal(model.state.value?.do, "");
  feed.send("bench", { ...stirring, do: "Pour" });
  assert.equal(model.state.value?.do, "Pour");
});

test("a new lot forgets what was taken back in the last one", async () => {
  const { feed, model } = await benchWithTwoMarks();
  await model.undo();
  feed.send("bench", { ...stirring, lot: "8" });
  assert.equal(model.takenBack.value, null);
});

test("a phase of the recipe's own goes by its own name, and only a mark tells it", () => {
  assert.equal(phaseName("rest under a lid"), "rest under a lid");
  assert.equal(bench.markBegin("rest under a lid"), "rest under a lid: begin");
  const steps = [{ phase: "rest under a lid", state: "next" as const }];
  assert.equal(isAwaited({ phase: "rest under a lid", edge: "begin" }, steps), true);
});

test("only a mark that no scale can make is awaited, and not before its time", () => {
  const steps = [{ phase: "stir", state: "next" as const }];
  assert.equal(isAwaited({ phase: "stir", edge: "begin" }, steps), true);
  assert.equal(isAwaited({ phase: "stir", edge: "end" }, []), true);
  assert.equal(isAwaited({ phase: "pour", edge: "begin" }, steps), false);
  const later = [{ phase: "stir", state: "ahead" as const }];
  assert.equal(isAwaited({ phase: "stir", edge: "begin" }, later), false);
});
