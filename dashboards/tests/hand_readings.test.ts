import assert from "node:assert/strict";
import { test } from "node:test";
import { signal } from "@preact/signals";
import { HandReadings } from "../src/models/hand_readings.ts";
import type { BenchState, Instrument } from "../src/types.ts";
import { FakeFeed, NOON, idleBench, modelWith, probe, serviceWith, stirring } from "./fixtures.ts";

const typedProbe: Instrument = { ...probe, kind: "manual" };
const typedScale: Instrument = { ...typedProbe, name: "east-scale", role: "scale", last: null };

function handWith(instruments: Instrument[], state: BenchState): {
  hand: HandReadings; typed: string[]; at: { value: BenchState };
} {
  const [feed, typed] = [new FakeFeed(), [] as string[]];
  const service = serviceWith({
    typeReading: async (name, value, unit) => {
      typed.push(`${name} ${value} ${unit}`);
      return { taken_at: NOON, value, unit: "degC" };
    },
  });
  const workshop = modelWith(feed, service);
  for (const instrument of instruments) feed.send("instrument", instrument);
  const at = signal(state);
  return { hand: new HandReadings(workshop, "east", at), typed, at };
}

test("only instruments without a lead are typed in", () => {
  const { hand } = handWith([probe, typedScale], idleBench);
  assert.deepEqual(hand.instruments.value.map(({ name }) => name), ["east-scale"]);
  assert.equal(handWith([probe], idleBench).hand.instrument.value, null);
});

test("what the present step needs is typed first, until another one is chosen", async () => {
  const scale = { channel: "east-scale", what: "wax", base: 0, target: 900, tolerance: 9 };
  const { hand, typed } = handWith([typedProbe, typedScale], { ...stirring, scale });
  assert.equal(hand.instrument.value?.name, "east-scale");
  assert.equal(hand.unit(), "g");
  hand.choose("east-pitcher");
  assert.equal(hand.unit(), "degC");
  hand.typing.press("8");
  await hand.typing.submit(hand.unit());
  assert.deepEqual(typed, ["east-pitcher 8 degC"]);
  assert.equal(hand.instrument.value?.name, "east-scale");
});

test("what was begun for one instrument is not kept for another", () => {
  const { hand } = handWith([typedProbe, typedScale], idleBench);
  hand.typing.press("9");
  hand.choose("east-scale");
  assert.equal(hand.typing.text.value, "");
});

test("the next step does not change what digits that were begun are for", () => {
  const { hand, at } = handWith([typedProbe, typedScale], idleBench);
  hand.typing.press("8");
  const scale = { channel: "east-scale", what: "wax", base: 0, target: 900, tolerance: 9 };
  at.value = { ...stirring, scale };
  assert.equal(hand.instrument.value?.name, "east-pitcher");
});
