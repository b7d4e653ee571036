import assert from "node:assert/strict";
import { test } from "node:test";
import { matching, storiesOf } from "../src/models/alarm_history.ts";
import type { HistoryFilter } from "../src/models/alarm_history.ts";
import type { LogEntry } from "../src/types.ts";
import { after } from "./fixtures.ts";

const raised: LogEntry = {
  at: after(0), event: "raised", alarm: "a", bench: "east", lot: "7", rule: "fill-grams",
  subject: null, priority: "medium", state: "active", text: "Vessel 3 is light.", until: null,
};
const log: LogEntry[] = [
  raised,
  { ...raised, at: after(10), alarm: "b", rule: "over-temperature", priority: "high", lot: null },
  { ...raised, at: after(20), event: "cleared", state: "cleared", text: "topped up" },
  {
    ...raised, at: after(30), event: "taken out of service", alarm: null, rule: "off-band",
    priority: null, state: null, text: "new wax",
  },
];

test("the log is gathered by alarm, the latest to be raised first", () => {
  const stories = storiesOf(log);
  assert.deepEqual(stories.map(({ rule }) => rule), ["off-band", "over-temperature", "fill-grams"]);
  assert.deepEqual(stories.at(-1)?.steps.map(({ event }) => event), ["raised", "cleared"]);
});

test("a history narrows by what is asked for, and by nothing else", () => {
  const anything: HistoryFilter = { bench: null, rule: null, priority: null };
  const found = (filter: Partial<HistoryFilter>): number =>
    matching(storiesOf(log), { ...anything, ...filter }).length;
  assert.equal(found({}), 3);
  assert.equal(found({ rule: "fill-grams" }), 1);
  assert.equal(found({ priority: "high", bench: "east" }), 1);
  assert.equal(found({ priority: "high", bench: "west" }), 0);
});
