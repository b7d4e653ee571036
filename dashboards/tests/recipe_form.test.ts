import assert from "node:assert/strict";
import { test } from "node:test";
import { EXAMPLE } from "../src/models/example_recipe.ts";
import { documentOf, EMPTY_FORM, fieldOf, formOf, isSame, YES } from "../src/models/recipe_form.ts";
import type { RecipeForm } from "../src/models/recipe_form.ts";
import type { RecipeDocument } from "../src/types.ts";

const WHOLE: RecipeDocument = {
  ...EXAMPLE,
  vessel: { volume: "8 fl oz", tolerance: "2 g" },
  wax: {
    name: "soy", density: "0.87 g/mL", tolerance: "3 %", most_fragrance: "10 %",
    most_fragrance_of: "total",
  },
  prepare: {},
  stir: {},
  trim: {},
  phase: [{ name: "rest", after: "stir", at_least: "5 min", at_most: "10 min" }],
  limit: [
    {
      name: "cold", of: "room", below: "18 °C", during: ["pour", "stir"], deadband: "1 °C",
      on_delay: "5 s", priority: "medium", latched: true, advice: "Close the window.",
    },
  ],
  alarm: { "over-temperature": { latched: true, on_delay: "2 s" }, "fill-grams": {} },
};

const form = (fields: Record<string, string>): RecipeForm => ({ ...EMPTY_FORM, fields });

test("a document comes out of the form as it went in", () => {
  for (const document of [EXAMPLE, WHOLE]) assert.deepEqual(documentOf(formOf(document)), document);
});

test("a temperature of a file is shown as people write it, and a name as it is", () => {
  const wax = { name: "7 degC soft", never_above: "92.5 degC" };
  const { fields } = formOf({ wax, pour: { between: ["57 degC", "145 degF"] } });
  assert.equal(fields["wax.never_above"], "92.5 °C");
  assert.equal(fields["wax.name"], "7 degC soft");
  assert.deepEqual([fields["pour.between.0"], fields["pour.between.1"]], ["57 °C", "145 °F"]);
});

test("an empty form has the sections that every recipe has, so that all is said that is missing", () => {
  assert.deepEqual(documentOf(EMPTY_FORM), { vessel: {}, wax: {}, fragrance: {} });
});

test("what is blank is left out, and what is typed loses the spaces at its ends", () => {
  const document = documentOf(form({ "vessel.fill": " 220 g ", "pitcher.capacity": "  " }));
  assert.deepEqual(document["vessel"], { fill: "220 g" });
  assert.equal("pitcher" in document, false);
});

test("a step that is not ticked is no step, whatever is typed in it", () => {
  const fields = { "stir.at_least": "120 s" };
  assert.equal("stir" in documentOf(form(fields)), false);
  assert.deepEqual(documentOf(form({ ...fields, stir: YES }))["stir"], { at_least: "120 s" });
});

test("a window with one end typed is a window, so that the other end is asked for", () => {
  const document = documentOf(form({ pour: YES, "pour.between.1": "63 °C" }));
  assert.deepEqual(document["pour"], { between: ["", "63 °C"] });
});

test("each problem belongs to a field", () => {
  const whole = formOf(WHOLE);
  const at = (...path: (string | number)[]): string => fieldOf({ path }, whole);
  assert.equal(at("vessel", "fill"), "vessel.fill");
  assert.equal(at("pour", "between", 1), "pour.between.1");
  assert.equal(at("phase", 0, "after"), "phase.0.after");
  assert.equal(at("limit", 0, "during", 1), "limit.0.during");
  assert.equal(at("limit", 0), "limit.0");
  assert.equal(at("alarm", "fill-grams", "on_delay"), "alarm.1.on_delay");
});

test("two forms are the same where they say the same recipe", () => {
  assert.equal(isSame(form({ name: "x" }), form({ name: "x ", "wax.density": "" })), true);
  assert.equal(isSame(form({ name: "x" }), form({ name: "y" })), false);
});
