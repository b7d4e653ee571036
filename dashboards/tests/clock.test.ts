import assert from "node:assert/strict";
import { test } from "node:test";
import { ClockModel } from "../src/models/clock.ts";
import { InstrumentsModel } from "../src/models/instruments.ts";
import type { Doubt } from "../src/models/instruments.ts";
import { WallTime } from "../src/models/wall_time.ts";
import type { Instrument } from "../src/types.ts";
import { FakeFeed, NOON, NOON_MS, after, probe, reading, serviceWith } from "./fixtures.ts";

/** A clock whose machine time a test turns by hand. */
function handClock(feed: FakeFeed): { clock: ClockModel; pass: (seconds: number) => void } {
  let ticks = 0;
  const clock = new ClockModel(feed, () => ticks);
  return {
    clock,
    pass: (seconds) => {
      ticks += seconds * 1000;
      clock.tick();
    },
  };
}

test("between beats the clock runs on at the workshop's speed", () => {
  const feed = new FakeFeed();
  const { clock, pass } = handClock(feed);
  clock.speed.value = 60;
  feed.send("beat", { now: NOON, trouble: null, notice: null });
  pass(2);
  assert.equal(clock.now.value, NOON_MS + 120_000);
  assert.equal(clock.heardAt.value, NOON_MS);
});

test("a beat sets the clock right again", () => {
  const feed = new FakeFeed();
  const { clock, pass } = handClock(feed);
  feed.send("beat", { now: NOON, trouble: null, notice: null });
  pass(5);
  feed.send("beat", { now: after(4), trouble: null, notice: null });
  assert.equal(clock.now.value, NOON_MS + 4_000);
});

/** A workshop with one probe, whose last reading is from noon. */
async function probed(speed: number, state: Instrument["state"] = "reading") {
  const feed = new FakeFeed();
  const { clock, pass } = handClock(feed);
  clock.speed.value = speed;
  feed.send("beat", { now: NOON, trouble: null, notice: null });
  const service = serviceWith({ instruments: async () => [{ ...probe, state }] });
  const model = new InstrumentsModel(feed, service, clock);
  await model.load();
  const doubt = (): Doubt | null => {
    const latest = model.latest("east-pitcher");
    assert.ok(latest !== null);
    return model.doubt(latest);
  };
  const shown = (): number | undefined => model.latest("east-pitcher")?.value;
  return { feed, pass, doubt, shown };
}

test("a reading is shown as old within three seconds, though nothing comes any more", async () => {
  const { pass, doubt } = await probed(1);
  pass(2.45);
  assert.equal(doubt(), null);
  pass(0.25); // one tick
  assert.equal(doubt(), "old");
});

test("digits change at the clock's ticks, all at once, and end at the last reading", async () => {
  const { feed, pass, shown } = await probed(1);
  for (const value of [82.5, 82.6, 82.7]) {
    feed.send("reading", { ...reading, value, t: reading.t + value });
  }
  assert.equal(shown(), 82.1);
  pass(0.2);
  assert.equal(shown(), 82.7);
});

test("what is read in passing changes once a second", () => {
  const feed = new FakeFeed();
  const { clock, pass } = handClock(feed);
  const model = new InstrumentsModel(feed, serviceWith({}), clock);
  feed.send("beat", { now: NOON, trouble: null, notice: null });
  const seen: (number | undefined)[] = [];
  for (let tick = 1; tick <= 10; tick += 1) {
    feed.send("reading", { ...reading, value: 80 + tick, t: NOON_MS / 1000 + tick / 4 });
    pass(0.25);
    seen.push(model.ofThisSecond("east-pitcher")?.value);
  }
  assert.deepEqual(seen, [81, 81, 81, 84, 84, 84, 84, 88, 88, 88]);
});

test("the first reading of an instrument, and a typed one, are shown at once", () => {
  const feed = new FakeFeed();
  const { clock } = handClock(feed);
  const model = new InstrumentsModel(feed, serviceWith({}), clock);
  feed.send("instrument", { ...probe, kind: "manual", last: null });
  for (const value of [81, 82]) {
    feed.send("reading", { ...reading, value, t: reading.t + value });
    assert.equal(model.latest("east-pitcher")?.value, value);
  }
});

test("on a fast day a reading is old after half a second of life", async () => {
  const { pass, doubt } = await probed(20);
  pass(0.45);
  assert.equal(doubt(), null);
  pass(0.1);
  assert.equal(doubt(), "old");
});

test("the value of an unplugged or silent instrument is doubted at once", async () => {
  const { feed, doubt } = await probed(20);
  feed.send("instrument", { ...probe, state: "lost" });
  assert.equal(doubt(), "lost");
  feed.send("instrument", { ...probe, state: "silent" });
  assert.equal(doubt(), "silent");
  feed.send("instrument", probe);
  assert.equal(doubt(), null);
});

test("a typed value does not go stale", async () => {
  const feed = new FakeFeed();
  const { clock, pass } = handClock(feed);
  feed.send("beat", { now: NOON, trouble: null, notice: null });
  const typed = { ...probe, kind: "manual" };
  const service = serviceWith({ instruments: async () => [typed] });
  const model = new InstrumentsModel(feed, service, clock);
  await model.load();
  pass(600);
  const latest = model.latest("east-pitcher");
  assert.ok(latest !== null && latest.typed);
  assert.equal(model.isStale(latest), false);
});

test("an older reading that arrives late does not take the place of a newer one", async () => {
  const feed = new FakeFeed();
  const { clock } = handClock(feed);
  const service = serviceWith({ instruments: async () => [probe] });
  const model = new InstrumentsModel(feed, service, clock);
  feed.send("reading", reading);
  await model.load();
  assert.equal(model.latest("east-pitcher")?.value, 82.4);
});

test("after the clock was set back the readings of the new time are shown", async () => {
  const { feed, pass, shown } = await probed(1);
  feed.send("beat", { now: after(-600), trouble: null, notice: null });
  feed.send("reading", { ...reading, value: 70, t: reading.t - 600 });
  pass(0.2);
  assert.equal(shown(), 70);
});

// Lisbon keeps UTC in winter and UTC+1 in summer (IANA time zone database, Europe/Lisbon).
test("times are those of the workshop's wall, with 24 hours", () => {
  const wall = new WallTime("Europe/Lisbon");
  assert.equal(wall.time("2026-11-25T23:05:09Z"), "23:05:09");
  assert.equal(wall.minute("2026-07-01T23:30:00Z"), "00:30");
  assert.equal(wall.day("2026-07-01T23:30:00Z"), "2 Jul 2026");
});
