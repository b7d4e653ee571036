import assert from "node:assert/strict";
import { test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import type { PourDayPlan, Service } from "../src/feed/service.ts";
import { Complaints } from "../src/models/complaints.ts";
import { PourDayModel } from "../src/models/pour_day.ts";
import { PourDayDraft } from "../src/models/pour_day_draft.ts";
import type { PourDay } from "../src/types.ts";
import { NOON, serviceWith } from "./fixtures.ts";

const METRIC = { temperature: "degC", mass: "g" } as const;
const lot = {
  recipe: "Cedar smoke", vessels: 6, lot: null, state: "planned" as const, wax: 1200, drawn: 0,
  needed: 1200, pitchers: [],
};
const day: PourDay = {
  id: "day-1", planned_at: NOON,
  pot: {
    pour_day: "day-1", must_hold: 2450, residue: 50, melted: 3000, drawn: 0, left: 2950,
    needed: 2400, enough: true, message: "The pot holds 2950.0 g.",
  },
  lots: [lot, { ...lot, recipe: "Salted fig", lot: "7", state: "closed" }],
};

function pourDay(id: string | null, answers: Partial<Service>): PourDayModel {
  const service = serviceWith({
    pourDays: async () => [day], recipes: async () => [], ...answers,
  });
  return new PourDayModel(id, service, new Complaints(), () => METRIC);
}

const names = ({ lots }: PourDayDraft): string[] => lots.value.map(({ recipe }) => recipe);

test("a draft begins with the day as it was planned, and says the same again", () => {
  assert.deepEqual(PourDayDraft.of(day, METRIC).plan(), {
    lots: [{ recipe: "Cedar smoke", vessels: 6 }, { recipe: "Salted fig", vessels: 6 }],
    melted: "3000.0 g", residue: "50.0 g",
  });
});

test("lots are moved, counted and taken out, but for those that were opened", () => {
  const draft = PourDayDraft.of(day, METRIC);
  const [first, second] = draft.lots.value.map(({ key }) => key);
  assert.ok(first !== undefined && second !== undefined);
  draft.move(second, -1);
  draft.move(second, -1);
  assert.deepEqual(names(draft), ["Salted fig", "Cedar smoke"]);
  draft.count(first, 9);
  draft.remove(second);
  assert.deepEqual(names(draft), ["Salted fig", "Cedar smoke"]);
  draft.remove(first);
  assert.deepEqual(names(draft), ["Salted fig"]);
});

test("a plan without a lot is none; what nobody knows is left open", () => {
  const draft = new PourDayDraft();
  assert.equal(draft.plan(), null);
  draft.add("Cedar smoke");
  draft.melted.value = " ";
  assert.deepEqual(draft.plan(), {
    lots: [{ recipe: "Cedar smoke", vessels: 12 }], melted: null, residue: "0 g",
  });
});

test("a day that is not there is said to be missing", async () => {
  const model = pourDay("day-9", {});
  await model.load();
  assert.equal(model.missing.value, true);
});

test("the plan is worked out once typing rests", async () => {
  const asked: PourDayPlan[] = [];
  const model = pourDay(null, {
    previewPourDay: async (_id, plan) => {
      asked.push(plan);
      return day;
    },
  });
  await model.load();
  const stop = model.follow();
  const { value: draft } = model.draft;
  assert.ok(draft !== null);
  draft.add("Cedar smoke");
  draft.melted.value = "3";
  draft.melted.value = "3 kg";
  await wait(400);
  stop();
  assert.deepEqual(asked.map(({ melted }) => melted), ["3 kg"]);
  assert.equal(model.shown.value, day);
});

test("a plan that cannot be is said why, and the last one that could stays", async () => {
  const refusal = new Refusal(422, "The pour day cannot be planned.", ["melted: no mass"], null);
  let works = true;
  const model = pourDay("day-1", {
    previewPourDay: () => works ? Promise.resolve(day) : Promise.reject(refusal),
  });
  await model.load();
  const stop = model.follow();
  works = false;
  const { value: draft } = model.draft;
  assert.ok(draft !== null);
  draft.melted.value = "3 degC";
  await wait(400);
  stop();
  assert.equal(model.problem.value, "The pour day cannot be planned. melted: no mass");
  assert.equal(model.shown.value, day);
});

test("a plan that is kept has an id", async () => {
  const model = pourDay("day-1", { planPourDay: async (id) => ({ id: id ?? "new" }) });
  await model.load();
  assert.equal(await model.keep(), "day-1");
});
