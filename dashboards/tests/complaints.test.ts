import assert from "node:assert/strict";
import { test } from "node:test";
import { Refusal, UNREACHABLE, refusalFrom } from "../src/feed/refusal.ts";
import { Complaints } from "../src/models/complaints.ts";

const refuse = (status: number) => (): Promise<void> =>
  Promise.reject(new Refusal(status, "no", [], null));
const succeed = (): Promise<void> => Promise.resolve();

test("what a person was refused stays while the screen fetches other things", async () => {
  const complaints = new Complaints();
  await complaints.act(refuse(409));
  await complaints.watch(succeed);
  assert.equal(complaints.latest.value?.status, 409);
  await complaints.act(succeed);
  assert.equal(complaints.latest.value, null);
});

test("that the service could not be reached is over as soon as it is", async () => {
  const complaints = new Complaints();
  await complaints.watch(refuse(UNREACHABLE));
  await complaints.watch(succeed);
  assert.equal(complaints.latest.value, null);
});

test("a press that did not reach the service is told, and what fails beside it says no more", async () => {
  const complaints = new Complaints();
  await complaints.watch(refuse(UNREACHABLE));
  assert.equal(complaints.wasAsked.value, false);
  await complaints.act(refuse(UNREACHABLE));
  assert.equal(complaints.wasAsked.value, true);
  await complaints.watch(refuse(UNREACHABLE));
  assert.equal(complaints.wasAsked.value, true);
  await complaints.watch(succeed);
  assert.equal(complaints.latest.value, null);
});

test("a defect of the screen itself is not taken for a refusal", async () => {
  const defect = (): Promise<void> => Promise.reject(new TypeError("a defect"));
  await assert.rejects(new Complaints().watch(defect), TypeError);
});

// The shape of a problem document: RFC 9457, section 3.
test("a problem document gives its sentence, its fields and the lot in the way", async () => {
  const body = {
    type: "about:blank", title: "Busy", status: 409, detail: "The bench has a lot open.", lot: "7",
    errors: [{ field: "body.vessels", problem: "at least 1" }],
  };
  const headers = { "content-type": "application/problem+json" };
  const refusal = await refusalFrom(new Response(JSON.stringify(body), { status: 409, headers }));
  assert.equal(refusal.message, "The bench has a lot open.");
  assert.deepEqual(refusal.fields, ["body.vessels: at least 1"]);
  assert.equal(refusal.lot, "7");
});

test("a field whose problem is the sentence already is not told twice", async () => {
  const body = {
    title: "Not understood", detail: 'pour day: wax melted in the pot: "2.5" has no unit',
    errors: [{ field: "body.melted", problem: '"2.5" has no unit' }],
  };
  const headers = { "content-type": "application/problem+json" };
  const refusal = await refusalFrom(new Response(JSON.stringify(body), { status: 422, headers }));
  assert.deepEqual(refusal.fields, []);
});

test("an answer without a problem document keeps its status", async () => {
  const refusal = await refusalFrom(new Response("x", { status: 502, statusText: "Bad Gateway" }));
  assert.equal(refusal.message, "502 Bad Gateway");
});
