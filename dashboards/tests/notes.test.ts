import assert from "node:assert/strict";
import { test } from "node:test";
import { setImmediate } from "node:timers/promises";
import { Refusal, UNREACHABLE } from "../src/feed/refusal.ts";
import type { Service } from "../src/feed/service.ts";
import { Complaints } from "../src/models/complaints.ts";
import { NotesModel } from "../src/models/notes.ts";
import { PhotographTray } from "../src/models/photograph_tray.ts";
import { PhotographsModel, neighbor, standing } from "../src/models/photographs.ts";
import type { Shrink } from "../src/models/photographs.ts";
import { scaledTo } from "../src/feed/scaling.ts";
import type { Photograph } from "../src/types.ts";
import { after, keepWith, serviceWith } from "./fixtures.ts";

const away = (): Promise<never> => Promise.reject(new Refusal(UNREACHABLE, "", [], null));
const nothing = async (): Promise<void> => undefined;

function notesWith(answers: Partial<Service>, keep = keepWith()) {
  const complaints = new Complaints();
  let reloads = 0;
  const reload = async (): Promise<void> => void (reloads += 1);
  const model = new NotesModel("7", serviceWith(answers), complaints, keep, reload);
  return { model, complaints, keep, reloads: () => reloads };
}

test("a note is sent without the space around it, and the field is empty again", async () => {
  const sent: unknown[] = [];
  const { model, keep, reloads } = notesWith({ writeNote: async (...said) => void sent.push(said) });
  model.draft.write("  wick 3 leans\n");
  await model.send();
  assert.deepEqual(sent, [["7", "wick 3 leans"]]);
  assert.equal(model.draft.text.value, "");
  assert.equal(keep.getItem("pourkeep.draft.note.7"), null);
  assert.equal(reloads(), 1);
});

test("what was written survives a failed send and a reload of the page", async () => {
  const { model, complaints, keep } = notesWith({ writeNote: away });
  model.draft.write("frost at the rim");
  await model.send();
  assert.equal(model.failed.value?.status, UNREACHABLE);
  await complaints.watch(nothing); // that something else works changes nothing about it
  assert.equal(model.failed.value?.status, UNREACHABLE);
  assert.equal(model.draft.text.value, "frost at the rim");
  assert.equal(model.busy.value, false);
  assert.equal(notesWith({}, keep).model.draft.text.value, "frost at the rim");
});

test("each lot has a draft of its own", () => {
  const keep = keepWith();
  notesWith({}, keep).model.draft.write("for seven");
  const other = new NotesModel("8", serviceWith({}), new Complaints(), keep, nothing);
  assert.equal(other.draft.text.value, "");
});

test("what is written while a note is being sent stays", async () => {
  let arrive = (): void => undefined;
  const writeNote = (): Promise<void> => new Promise((resolve) => arrive = resolve);
  const { model } = notesWith({ writeNote });
  model.draft.write("first");
  const sending = model.send();
  model.draft.write("first, and more");
  arrive();
  await sending;
  assert.equal(model.draft.text.value, "first, and more");
});

test("a note without words is not sent, nor one twice at once", async () => {
  let sent = 0;
  const { model } = notesWith({ writeNote: async () => void (sent += 1) });
  model.draft.write("  \n ");
  await model.send();
  assert.equal(sent, 0);
  model.draft.write("once");
  await Promise.all([model.send(), model.send()]);
  assert.equal(sent, 1);
});

test("a note taken back is asked for by its name, and the lot fetched again", async () => {
  const asked: unknown[] = [];
  const { model, reloads } = notesWith({ removeNote: async (...what) => void asked.push(what) });
  await model.takeBack("n2", "the other lot");
  assert.deepEqual([asked, reloads()], [[["7", "n2", "the other lot"]], 1]);
});

const small: Shrink = async (file) => new Blob([`small ${await file.text()}`]);

function photographsWith(
  answers: Partial<Service>, shrink: Shrink = small, reload = nothing,
): PhotographsModel {
  const complaints = new Complaints();
  const model = new PhotographsModel("7", serviceWith(answers), complaints, keepWith(), shrink);
  model.reload = reload;
  return model;
}

const file = (name: string): File => new File([name], name);

test("pictures are made smaller and sent one after another, under the caption", async () => {
  const sent: string[] = [];
  const model = photographsWith({
    sendPhotograph: async (lot, picture, caption) => {
      sent.push(`${lot} ${await picture.text()} ${caption}`);
    },
  });
  model.caption.write(" the tray ");
  await model.add([file("a"), file("b")]);
  assert.deepEqual(sent, ["7 small a the tray", "7 small b the tray"]);
  assert.deepEqual(model.parcels.value, []);
  assert.equal(model.caption.text.value, "");
});

test("it is shown which part of a picture is on its way until the lot shows it", async () => {
  const seen: number[] = [];
  const model: PhotographsModel = photographsWith({
    sendPhotograph: async (_lot, _picture, _caption, progress) => {
      for (const part of [0.25, 1]) {
        progress(part);
        seen.push(model.parcels.value[0]?.part ?? -1);
      }
    },
  }, small, async () => void seen.push(model.parcels.value.length));
  await model.add([file("a")]);
  assert.deepEqual(seen, [0.25, 1, 1]);
});

test("one that was refused stays with the reason, the next goes on, and again is one press", async () => {
  let refusing = true;
  const sent: string[] = [];
  const model = photographsWith({
    sendPhotograph: async (_lot, picture) => {
      const name = await picture.text();
      if (refusing && name === "small a") throw new Refusal(503, "The disk is full.", [], null);
      sent.push(name);
    },
  });
  model.caption.write("the tray");
  await model.add([file("a"), file("b")]);
  const [parcel] = model.parcels.value;
  assert.ok(parcel !== undefined && parcel.failed instanceof Refusal);
  assert.equal(parcel.failed.message, "The disk is full.");
  assert.equal(parcel.caption, "the tray");
  refusing = false;
  await model.again(parcel.key);
  assert.deepEqual(sent, ["small b", "small a"]);
  assert.deepEqual(model.parcels.value, []);
});

test("a defect with one picture does not hold up the next", async () => {
  const sent: string[] = [];
  let broken = true;
  const model = photographsWith({
    sendPhotograph: async (_lot, picture) => void sent.push(await picture.text()),
  }, async (picture) => {
    if (broken) throw new RangeError("a defect");
    return small(picture);
  });
  await assert.rejects(model.add([file("a")]), RangeError);
  broken = false;
  await model.add([file("b")]);
  assert.deepEqual(sent, ["small b"]);
});

test("a file that the browser cannot read as a picture is said so and can be let be", async () => {
  const model = photographsWith({}, async () => null);
  await model.add([file("notes.txt")]);
  const [parcel] = model.parcels.value;
  assert.equal(parcel?.failed, "unreadable");
  model.giveUp(parcel?.key ?? -1);
  assert.deepEqual(model.parcels.value, []);
});

test("a page that is left and opened again finds its pictures, under way or failed", async () => {
  const tray = new PhotographTray();
  let arrive = (): void => undefined;
  const sendPhotograph = (): Promise<void> => new Promise((resolve) => arrive = resolve);
  const make = (): PhotographsModel => photographsWith({ sendPhotograph });
  const left = tray.of("7", nothing, make);
  assert.equal(tray.underWay.value, false);
  const sending = left.add([file("a")]);
  await setImmediate();
  assert.equal(tray.underWay.value, true);
  let reloads = 0;
  const again = tray.of("7", async () => void (reloads += 1), make);
  assert.deepEqual(again.parcels.value.map(({ name }) => name), ["a"]);
  assert.deepEqual(tray.of("8", nothing, make).parcels.value, []);
  arrive();
  await sending;
  assert.deepEqual([tray.underWay.value, reloads], [false, 1]); // the page that is open now shows it
});

const photograph = (id: string, gone = false): Photograph => ({
  id, at: after(0), caption: "", media_type: "image/jpeg", width: 4, height: 3, bytes: 9,
  sha256: "ab", removed: gone ? { at: after(9), reason: "a face" } : null,
});

test("the arrows go round those that are there", () => {
  const all = standing([photograph("p1"), photograph("p2", true), photograph("p3")]);
  assert.deepEqual(all.map(({ id }) => id), ["p1", "p3"]);
  assert.equal(neighbor(all, "p3", 1)?.id, "p1");
  assert.equal(neighbor(all, "p1", -1)?.id, "p3");
  assert.equal(neighbor(all, "p2", 1), null);
  assert.equal(neighbor([], "p1", 1), null);
});

test("a picture keeps its shape, and one that fits is not made larger", () => {
  assert.deepEqual(scaledTo(1600, 4000, 3000), { width: 1600, height: 1200 });
  assert.deepEqual(scaledTo(1600, 3000, 4000), { width: 1200, height: 1600 });
  assert.deepEqual(scaledTo(1600, 640, 480), { width: 640, height: 480 });
  assert.deepEqual(scaledTo(1600, 8000, 2), { width: 1600, height: 1 });
});
