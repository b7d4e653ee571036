import assert from "node:assert/strict";
import { test } from "node:test";
import { setImmediate } from "node:timers/promises";
import { Refusal } from "../src/feed/refusal.ts";
import { Complaints } from "../src/models/complaints.ts";
import { NoticesModel, stateOf } from "../src/models/notices.ts";
import type { NoticeTarget, Notices } from "../src/types.ts";
import { FakeFeed, NOON, serviceWith, workshop } from "./fixtures.ts";

const untried: NoticeTarget = {
  target: "json hook.example.org", working: true, reason: null, trouble_since: null, waiting: 0,
  sent: 0, failed: 0, lost: 0, last_sent_at: null, last_failed_at: null, last_failure: null,
  test: null,
};

const quiet: Notices = {
  configured: true, targets: [untried], from_priority: "medium", fold_seconds: 30,
  repeat_seconds: null, quiet: null, next_test_at: NOON, gathered: 0, held: [],
};

const tested: Notices = {
  ...quiet,
  targets: [{ ...untried, last_sent_at: NOON, test: { outcome: "sent", at: NOON, reason: null } }],
};

const beat = { now: workshop.now, trouble: null, notice: null };

test("a target is untried, works or fails", () => {
  assert.equal(stateOf(untried), "untried");
  assert.equal(stateOf({ ...untried, last_sent_at: NOON }), "working");
  assert.equal(stateOf({ ...untried, last_sent_at: NOON, working: false }), "failing");
});

test("how it stands is asked for with every beat until the page is left", async () => {
  const feed = new FakeFeed();
  let asked = 0;
  const service = serviceWith({ notices: async () => { asked += 1; return quiet; } });
  const model = new NoticesModel(feed, service, new Complaints());
  await model.load();
  assert.deepEqual(model.shown.value, quiet);
  feed.send("beat", beat);
  feed.send("beat", beat); // while the first is still asked for
  await setImmediate();
  assert.equal(asked, 2);
  model.close();
  feed.send("beat", beat);
  await setImmediate();
  assert.equal(asked, 2);
});

test("a test is sent once however often it is pressed, and shows what came of it", async () => {
  let sent = 0;
  const service = serviceWith({ testNotices: async () => { sent += 1; return tested; } });
  const model = new NoticesModel(new FakeFeed(), service, new Complaints());
  const first = model.test();
  assert.equal(model.testing.value, true);
  await Promise.all([first, model.test()]);
  assert.equal(sent, 1);
  assert.equal(model.testing.value, false);
  assert.deepEqual(model.shown.value, tested);
});

test("a test that is refused is a complaint, and can be sent again", async () => {
  const complaints = new Complaints();
  const refuse = (): Promise<never> => Promise.reject(new Refusal(409, "Not set up.", [], null));
  const model = new NoticesModel(new FakeFeed(), serviceWith({ testNotices: refuse }), complaints);
  await model.test();
  assert.equal(complaints.latest.value?.message, "Not set up.");
  assert.equal(model.testing.value, false);
});
