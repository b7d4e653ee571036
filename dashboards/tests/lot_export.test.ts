import assert from "node:assert/strict";
import test from "node:test";
import { exportAddress } from "../src/feed/service.ts";
import { Complaints } from "../src/models/complaints.ts";
import { fileSize } from "../src/models/file_size.ts";
import { ExportModel } from "../src/models/lot_export.ts";
import type { Exports } from "../src/types.ts";
import { serviceWith } from "./fixtures.ts";

const offer: Exports = {
  lot: "2026-11-25-1", readings: 12, readings_removed: false,
  formats: [{ format: "csv", file: "lot-2026-11-25-1.csv", bytes: 900, unavailable: null }],
};

function modelOf(id = "2026-11-25-1") {
  const complaints = new Complaints();
  const model = new ExportModel(id, serviceWith({ exports: async () => offer }), complaints);
  return { model, complaints };
}

test("what there is to take away is asked of the service", async () => {
  const { model } = modelOf();
  assert.equal(model.offer.value, null);
  await model.load();
  assert.deepEqual(model.offer.value, offer);
});

test("a refusal is told and offers nothing", async () => {
  const complaints = new Complaints();
  const model = new ExportModel("7", serviceWith({}), complaints);
  await model.load();
  assert.equal(model.offer.value, null);
  assert.equal(complaints.latest.value?.status, 500);
});

test("a picture is saved under the lot's name", async () => {
  const { model } = modelOf();
  const png = new Blob(["png"]);
  const asked: string[][] = [];
  const kept: [Blob, string][] = [];
  model.mounted({
    picture: async (headings) => {
      asked.push(headings);
      return png;
    },
  });
  const saving = model.savePicture(["Lot"], (file, name) => kept.push([file, name]));
  assert.equal(model.picture.value, "drawing");
  await model.savePicture(["Lot"], () => assert.fail("there is one under way"));
  await saving;
  assert.deepEqual(asked, [["Lot"]]);
  assert.deepEqual(kept, [[png, "lot-2026-11-25-1.png"]]);
  assert.equal(model.picture.value, "saved");
});

test("where nothing is drawn there is no picture", async () => {
  const { model } = modelOf();
  const never = (): void => assert.fail("there is nothing to save");
  await model.savePicture([], never);
  assert.equal(model.picture.value, "failed");
  model.mounted({ picture: async () => null });
  await model.savePicture([], never);
  assert.equal(model.picture.value, "failed");
});

test("a picture that cannot be drawn is a defect, and another may be asked for", async () => {
  const { model } = modelOf();
  model.mounted({ picture: () => Promise.reject(new Error("no canvas")) });
  await assert.rejects(model.savePicture([], () => undefined), /no canvas/);
  assert.equal(model.picture.value, "failed");
});

test("only the last that was asked for is told", async () => {
  const { model } = modelOf();
  await model.savePicture([], () => undefined);
  model.ask("lot-7.csv");
  assert.deepEqual([model.asked.value, model.picture.value], ["lot-7.csv", "none"]);
  await model.savePicture([], () => undefined);
  assert.equal(model.asked.value, null);
});

test("names are made safe for an address and for a file", () => {
  assert.equal(exportAddress("a/b c", "csv"), "/api/lots/a%2Fb%20c/export?format=csv");
  assert.equal(modelOf("a/b c").model.pictureName, "lot-a_b_c.png");
});

test("a size is written in the unit that fits", () => {
  const sizes = [0, 999, 1_000, 9_940, 9_960, 999_600, 12_345_678, 3_400_000_000, 5e13];
  assert.deepEqual(sizes.map(fileSize), [
    "0 B", "999 B", "1.0 kB", "9.9 kB", "10 kB", "1.0 MB", "12 MB", "3.4 GB", "50000 GB",
  ]);
});
