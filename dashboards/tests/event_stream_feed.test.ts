import assert from "node:assert/strict";
import { test } from "node:test";
import type { TestContext } from "node:test";
import { signal } from "@preact/signals";
import { EventStreamFeed } from "../src/feed/event_stream_feed.ts";
import type { Dial, Ear, Line } from "../src/feed/line.ts";
import { passing } from "../src/feed/passing.ts";
import type { Presence } from "../src/feed/presence.ts";
import { NOON, reading } from "./fixtures.ts";

interface FakeLine extends Line {
  address: string;
  ear: Ear;
  open: boolean;
  gaveUp: boolean;
}

const BEAT = JSON.stringify({ now: NOON, trouble: null, notice: null });

/** A feed on lines that a test holds in its hands, and the time. */
function atHand(t: TestContext) {
  t.mock.timers.enable({ apis: ["setInterval"] });
  const lines: FakeLine[] = [];
  const presence = signal<Presence>("shown");
  let now = 0;
  const dial: Dial = (address, ear) => {
    const line = { address, ear, open: true, gaveUp: false, close: () => void (line.open = false) };
    lines.push(line);
    return line;
  };
  const feed = new EventStreamFeed("/api/live", { dial, presence, ticks: () => now });
  t.after(() => feed.close());
  const last = (): FakeLine => {
    const line = lines.at(-1);
    assert.ok(line !== undefined);
    return line;
  };
  return {
    feed, presence, lines, last,
    open: () => lines.filter((line) => line.open),
    tell: (id: string) => last().ear.told("beat", id, BEAT),
    /** The window lives through some seconds. */
    pass: (seconds: number) => {
      for (let second = 0; second < seconds; second += 1) {
        now += 1_000;
        t.mock.timers.tick(1_000);
      }
    },
    /** The window stands still, as a busy one does: the clock goes on, and one look comes late. */
    hang: (seconds: number) => {
      now += seconds * 1_000;
      t.mock.timers.tick(1_000);
    },
  };
}

test("what is told reaches those who listen", (t) => {
  const { feed, last } = atHand(t);
  const heard: number[] = [];
  feed.on("reading", ({ value }) => heard.push(value));
  last().ear.told("reading", "1-2", JSON.stringify(reading));
  assert.deepEqual(heard, [reading.value]);
  assert.equal(feed.status.value, "live");
});

test("a hidden window has no connection, and a shown one again exactly one", (t) => {
  const { feed, presence, open, tell } = atHand(t);
  tell("5-7");
  presence.value = "hidden";
  assert.deepEqual([open().length, feed.status.value], [0, "resting"]);
  presence.value = "shown";
  assert.equal(open().length, 1);
  assert.equal(open()[0]?.address, "/api/live?after=5-7");
});

test("a window that comes back does not say that the line was lost", (t) => {
  const { feed, presence, last, tell } = atHand(t);
  tell("5-7");
  const said: string[] = [];
  feed.status.subscribe((status) => void said.push(status));
  presence.value = "hidden";
  presence.value = "shown";
  last().ear.opened();
  tell("5-7");
  assert.deepEqual(said, ["live", "resting", "live"]);
});

test("a line that is open counts once it has told where the stream stands", (t) => {
  const { feed, lines, last, pass, tell } = atHand(t);
  pass(3);
  last().ear.opened();
  assert.equal(feed.status.value, "connecting"); // what is fetched now could miss what comes next
  pass(3);
  assert.equal(lines.length, 1);
  tell("5-7");
  assert.equal(feed.status.value, "live");
});

test("a window that somebody wants to hear stays connected while hidden, not when it is left", (t) => {
  const { feed, presence, open } = atHand(t);
  feed.mayRest.value = false;
  presence.value = "hidden";
  assert.equal(open().length, 1);
  presence.value = "gone";
  assert.equal(open().length, 0);
  presence.value = "hidden";
  assert.equal(open().length, 1);
  feed.mayRest.value = true;
  assert.equal(open().length, 0);
});

test("a window that opens hidden waits until it is shown", (t) => {
  const { open, presence } = atHand(t);
  presence.value = "hidden";
  assert.equal(open().length, 0);
  presence.value = "shown";
  assert.equal(open()[0]?.address, "/api/live");
});

test("a line that says nothing any more is lost within five seconds and dialed where it ended", (t) => {
  const { feed, lines, last, open, pass, tell } = atHand(t);
  tell("8-9");
  pass(3);
  assert.equal(feed.status.value, "live");
  pass(2);
  assert.equal(feed.status.value, "lost");
  assert.deepEqual([lines.length, open().length], [2, 1]);
  assert.equal(last().address, "/api/live?after=8-9");
  tell("8-10");
  assert.equal(feed.status.value, "live");
});

test("a window that was busy itself does not take its line for lost", (t) => {
  const { feed, lines, hang, pass, tell } = atHand(t);
  tell("8-9");
  hang(6);
  assert.deepEqual([feed.status.value, lines.length], ["live", 1]);
  tell("8-10"); // what had waited
  pass(3);
  assert.equal(lines.length, 1);
});

test("the browser's own second try keeps the line; once it gave up it is dialed again", (t) => {
  const { feed, lines, last, pass, tell } = atHand(t);
  tell("8-9");
  last().ear.broke();
  assert.deepEqual([feed.status.value, lines.length], ["lost", 1]);
  tell("8-10");
  assert.equal(feed.status.value, "live");
  last().gaveUp = true;
  last().ear.broke();
  pass(3);
  assert.equal(last().address, "/api/live?after=8-10");
});

test("time passes while the machine sleeps, and is not made of a clock's adjusting", () => {
  let [steady, wall] = [100, 50_000];
  const ticks = passing(() => steady, () => wall);
  steady += 250;
  wall += 251;
  assert.equal(ticks(), 250);
  steady += 10;
  wall += 60_000; // a minute in a pocket
  assert.equal(ticks(), 60_250);
  steady += 250;
  wall -= 9_000;
  assert.equal(ticks(), 60_500);
});
