import assert from "node:assert/strict";
import { test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import type { RecipeDraft, Service } from "../src/feed/service.ts";
import { Refusal } from "../src/feed/refusal.ts";
import { Complaints } from "../src/models/complaints.ts";
import { EXAMPLE } from "../src/models/example_recipe.ts";
import type { Keep } from "../src/models/preferences.ts";
import { RecipeEditorModel } from "../src/models/recipe_editor.ts";
import type { Beginning } from "../src/models/recipe_editor.ts";
import type { BatchSheet, Recipe, RecipeDocument, RecipePreview } from "../src/types.ts";
import { NOON, keepWith, lot, serviceWith } from "./fixtures.ts";

const NAME = String(EXAMPLE["name"]);
const fine: RecipePreview = { problems: [], sheet: lot.batch_sheet, changes: [], cautions: [] };
const standing = (version: number, recipe: RecipeDocument = EXAMPLE): Recipe => ({
  name: NAME, version, kept_at: NOON, recipe, file: null, retired: false,
});

const there: Beginning = { name: NAME, document: {}, shelf: `recipe.${NAME}` };
const fresh: Beginning = { name: null, document: {}, shelf: "new" };

/** A service with one recipe that stands. */
function serving(answers: Partial<Service> = {}): Service {
  return serviceWith({
    recipe: async () => standing(3), recipeVersions: async () => [],
    previewRecipe: async () => fine, ...answers,
  });
}

async function opened(
  service: Service, keep: Keep = keepWith(), beginning: Beginning = there,
): Promise<RecipeEditorModel> {
  const model = new RecipeEditorModel(beginning, service, new Complaints(), keep);
  await model.load();
  return model;
}

test("what stands is in the form, and nothing of it is new", async () => {
  const model = await opened(serving());
  assert.equal(model.form.value.fields["vessel.fill"], "180 g");
  assert.equal(model.dirty.value, false);
});

test("the service is asked once after a pause, not at every key", async () => {
  const asked: RecipeDraft[] = [];
  const model = await opened(serving({
    previewRecipe: async (draft) => {
      asked.push(draft);
      return fine;
    },
  }));
  for (const text of ["2", "22", "220", "220 g"]) model.write("vessel.fill", text);
  await wait(400);
  assert.equal(asked.length, 2); // as it was opened, and after the typing
  assert.deepEqual(asked[1]?.document["vessel"], { fill: "220 g", tolerance: "2 g" });
  assert.equal(asked[1]?.against, NAME);
});

test("an answer to what was typed before does not take the place of a later one", async () => {
  const answers: ((preview: RecipePreview) => void)[] = [];
  const model = new RecipeEditorModel(fresh, serving({
    previewRecipe: () => new Promise((resolve) => answers.push(resolve)),
  }), new Complaints(), keepWith());
  const [first, second] = [model.look(), model.look()];
  answers[1]?.({ ...fine, cautions: ["later"] });
  answers[0]?.({ ...fine, cautions: ["earlier"] });
  await Promise.all([first, second]);
  assert.deepEqual(model.preview.value?.cautions, ["later"]);
});

test("the numbers that changed are known, and the last sheet stays while a field is half typed", async () => {
  const sheets: (BatchSheet | null)[] = [
    lot.batch_sheet, { ...lot.batch_sheet, wax: 2400, mix: 2596 }, null,
  ];
  const model = await opened(serving({
    previewRecipe: async () => ({ ...fine, sheet: sheets.shift() ?? null }),
  }));
  assert.equal(model.changed.value.size, 0);
  await model.look();
  assert.deepEqual([...model.changed.value].sort(), ["0.mix", "0.wax"]);
  await model.look();
  assert.equal(model.sheet.value?.wax, 2400);
});

test("work that was not kept is there at the next visit, with the version it came from", async () => {
  const keep = keepWith();
  const replaced: number[] = [];
  (await opened(serving(), keep)).write("vessel.fill", "190 g");
  const later = await opened(serving({
    recipe: async () => standing(4),
    keepRecipe: async (_document, replaces) => {
      replaced.push(replaces);
      return { version: 5 };
    },
  }), keep);
  assert.equal(later.restored.value, true);
  assert.equal(later.form.value.fields["vessel.fill"], "190 g");
  await later.keep();
  assert.deepEqual(replaced, [3]);
});

test("what was kept or let go of is not left for the next visit", async () => {
  const keep = keepWith();
  let stands = standing(3);
  const model = await opened(serving({
    recipe: async () => stands,
    keepRecipe: async (document) => {
      stands = standing(4, document);
      return { version: 4 };
    },
  }), keep);
  model.write("vessel.fill", "190 g");
  assert.equal(await model.keep(), NAME);
  assert.equal((await opened(serving(), keep)).restored.value, false);
  model.write("vessel.fill", "170 g");
  model.discard();
  assert.equal(model.form.value.fields["vessel.fill"], "190 g");
  assert.equal((await opened(serving(), keep)).restored.value, false);
});

test("nothing is kept while something is wrong, and what is wrong is known by its field", async () => {
  const problem = { path: ["vessel", "fill"], message: "has no unit", missing: false };
  const model = await opened(serving({
    previewRecipe: async () => ({ ...fine, problems: [problem], sheet: null }),
    keepRecipe: () => assert.fail("kept"),
  }));
  assert.equal(await model.keep(), null);
  assert.equal(model.attempted.value, true);
  assert.equal(model.problems.value.get("vessel.fill")?.message, "has no unit");
});

test("letting go of a draft shows what stands by now, not what it was made out of", async () => {
  const theirs = { ...EXAMPLE, vessel: { fill: "200 g", tolerance: "2 g" } };
  const stands = [standing(3), standing(4, theirs)];
  const model = await opened(serving({ recipe: async () => stands.shift() ?? standing(5) }));
  model.write("vessel.fill", "190 g");
  await model.load(); // a new connection: somebody else has kept version 4
  assert.equal(model.form.value.fields["vessel.fill"], "190 g");
  model.discard();
  assert.equal(model.form.value.fields["vessel.fill"], "200 g");
  assert.equal(model.dirty.value, false);
});

/** An editor whose recipe somebody else keeps in the meantime. */
async function overtaken(replaced: number[]): Promise<RecipeEditorModel> {
  const theirs = { ...EXAMPLE, vessel: { fill: "200 g", tolerance: "2 g" } };
  const stands = [standing(3), standing(4, theirs), standing(4, theirs)];
  const model = await opened(serving({
    recipe: async () => stands.shift() ?? standing(5),
    keepRecipe: async (_document, replaces) => {
      replaced.push(replaces);
      if (replaces !== 4) throw new Refusal(409, "Version 4 was kept in the meantime.", [], null);
      return { version: 5 };
    },
  }));
  model.write("vessel.fill", "190 g");
  assert.equal(await model.keep(), null);
  return model;
}

test("what somebody else kept meanwhile is shown, and not overwritten before she says so", async () => {
  const replaced: number[] = [];
  const model = await overtaken(replaced);
  assert.match(model.overtaken.value?.sentence ?? "", /Version 4/);
  assert.equal(model.form.value.fields["vessel.fill"], "190 g");
  assert.equal(await model.keepOverTheirs(), NAME);
  assert.deepEqual(replaced, [3, 4]);
  assert.equal(model.overtaken.value, null);
});

test("she may take what somebody else kept, and go on from there", async () => {
  const replaced: number[] = [];
  const model = await overtaken(replaced);
  model.takeTheirs();
  assert.equal(model.form.value.fields["vessel.fill"], "200 g");
  assert.equal(model.dirty.value, false);
  model.write("vessel.fill", "210 g");
  await model.keep();
  assert.deepEqual(replaced, [3, 4]);
});

test("under another name a new recipe is kept beside the old one", async () => {
  const replaced: number[] = [];
  const model = await opened(serving({
    keepRecipe: async (_document, replaces) => {
      replaced.push(replaces);
      return { version: 1 };
    },
  }));
  model.write("name", "Another");
  assert.equal(model.renamed, true);
  assert.equal(await model.keep(), "Another");
  assert.deepEqual(replaced, [0]);
});

test("rows come and go, and keep what is typed in them", async () => {
  const model = await opened(serving(), keepWith(), fresh);
  model.addRow("phase");
  model.addRow("phase");
  model.writeRow("phase", 1, "name", "rest");
  model.removeRow("phase", 0);
  assert.deepEqual(model.form.value.rows.phase, [{ name: "rest" }]);
});

test("a recipe that is not there is said to be missing", async () => {
  const model = await opened(serving({
    recipe: () => Promise.reject(new Refusal(404, "no", [], null)),
  }));
  assert.equal(model.missing.value, true);
});
