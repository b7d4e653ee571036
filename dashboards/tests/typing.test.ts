import assert from "node:assert/strict";
import { test } from "node:test";
import { TypingModel } from "../src/models/typing.ts";

function typing(works = true): { model: TypingModel; kept: string[] } {
  const kept: string[] = [];
  const model = new TypingModel(async (value, unit) => {
    if (works) kept.push(`${value} ${unit}`);
    return works ? { corrected: null } : null;
  });
  return { model, kept };
}

const pressed = (model: TypingModel, keys: string): void => {
  for (const key of keys) model.press(key);
};

test("pressed keys make a number that is kept, and the field is free again", async () => {
  const { model, kept } = typing();
  pressed(model, "82.19");
  model.back();
  await model.submit("degC");
  assert.deepEqual(kept, ["82.1 degC"]);
  assert.equal(model.text.value, "");
  assert.deepEqual(model.said.value, { kind: "kept", shown: "82.1", unit: "degC", corrected: null });
});

test("a number has one point, and an end", () => {
  const { model } = typing();
  pressed(model, "1.2.34567890123");
  assert.equal(model.text.value, "1.2345678");
});

test("what is no number is not kept", async () => {
  const { model, kept } = typing();
  await model.submit("g");
  assert.deepEqual(model.said.value, { kind: "no number" });
  assert.deepEqual(kept, []);
});

test("a suspicious value is kept at the second press, unless it was changed between", async () => {
  const { model, kept } = typing();
  pressed(model, "500");
  await model.submit("degC");
  assert.deepEqual(model.said.value, { kind: "sure", shown: "500", unit: "degC" });
  pressed(model, "1");
  await model.submit("degC");
  assert.deepEqual(kept, []);
  await model.submit("degC");
  assert.deepEqual(kept, ["5001 degC"]);
});

/** A model whose service answers when the test says so. */
function slow(): { model: TypingModel; kept: number[]; answer: () => void } {
  const kept: number[] = [];
  let answer = (): void => undefined;
  const model = new TypingModel((value) => {
    kept.push(value);
    return new Promise((resolve) => answer = () => resolve({ corrected: null }));
  });
  return { model, kept, answer: () => answer() };
}

test("a press that bounces keeps a value once", async () => {
  const { model, kept, answer } = slow();
  pressed(model, "212.4");
  const presses = [model.submit("g"), model.submit("g")];
  answer();
  await Promise.all(presses);
  assert.deepEqual(kept, [212.4]);
  assert.equal(model.text.value, "");
});

test("what is begun while a value is on its way stays, to the digit", async () => {
  const { model, kept, answer } = slow();
  pressed(model, "212.4");
  const first = model.submit("g");
  model.type("");
  pressed(model, "22");
  answer();
  await first;
  pressed(model, "0.1");
  const second = model.submit("g");
  answer();
  await second;
  assert.deepEqual(kept, [212.4, 220.1]);
});

test("a value that the service did not take stays in the field", async () => {
  const { model } = typing(false);
  pressed(model, "70");
  await model.submit("degC");
  assert.equal(model.text.value, "70");
  assert.equal(model.said.value, null);
});
