import assert from "node:assert/strict";
import { test } from "node:test";
import type { Service } from "../src/feed/service.ts";
import { BenchModel, isAwaited } from "../src/models/bench.ts";
import { Complaints } from "../src/models/complaints.ts";
import type { BenchState, Mark } from "../src/types.ts";
import { bench, phaseName } from "../src/words.ts";
import { FakeFeed, after, idleBench, serviceWith, stirring } from "./fixtures.ts";

async function benchWith(state: BenchState, answers: Partial<Service> = {}) {
  const feed = new FakeFeed();
  const service = serviceWith({ bench: async () => state, ...answers });
  const model = new BenchModel("east", feed, service, new Complaints());
  await model.load();
  return { feed, model };
}

test("the button marks what the bench wants next, and says so afterwards", async () => {
  const marks: [string, Mark][] = [];
  const mark: Service["mark"] = async (lot, made) => {
    marks.push([lot, made]);
    return { at: after(121) };
  };
  const { model } = await benchWith(stirring, { mark });
  await model.mark();
  assert.deepEqual(marks, [["7", { phase: "stir", edge: "end" }]]);
  assert.deepEqual(model.marked.value, { phase: "stir", edge: "end", at: after(121) });
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

test("a new lot forgets what was marked in the last one", async () => {
  const { feed, model } = await benchWith(stirring, { mark: async () => ({ at: after(1) }) });
  await model.mark();
  feed.send("bench", { ...stirring, lot: "8" });
  assert.equal(model.marked.value, null);
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
