/** Things of our own invention that several tests need. */
import { FakeFeed } from "../src/feed/fake_feed.ts";
import { Refusal } from "../src/feed/refusal.ts";
import type { Service } from "../src/feed/service.ts";
import type { Keep } from "../src/models/preferences.ts";
import { WorkshopModel } from "../src/models/workshop.ts";
import { FakeSenses } from "../src/senses/fake_senses.ts";
import type { Alarm, BenchState, Instrument, Lot, Reading, Workshop } from "../src/types.ts";

export const NOON = "2026-11-25T12:00:00.000Z";
export const NOON_MS = Date.parse(NOON);

/** An instant some seconds after noon. */
export const after = (seconds: number): string => new Date(NOON_MS + seconds * 1000).toISOString();

export const workshop: Workshop = {
  name: "Pier Lane", timezone: "Europe/Lisbon", display: { temperature: "degC", mass: "g" },
  benches: ["east", "west"], speed: 1, now: NOON, trouble: null, notice: null,
};

export const idleBench: BenchState = {
  bench: "east", at: NOON, lot: null, recipe: null, vessels: null, phase: null, phase_began: null,
  phase_until: null, pitcher: null, pitchers: null, steps: [], next_mark: null, undo: null,
  do: "", detail: "", temperature: null, scale: null,
};

export const stirring: BenchState = {
  ...idleBench, lot: "7", recipe: "Cedar smoke", vessels: 12, phase: "stir",
  phase_began: NOON, phase_until: after(120), next_mark: { phase: "stir", edge: "end" },
};

export const alarm: Alarm = {
  id: "a", lot: "7", bench: "east", rule: "fragrance-temperature", priority: "high",
  phase: "add fragrance", pitcher: 1, vessel: null, subject: null, limit: { low: 80, high: 85 },
  measured: 76.3, unit: "degC", message: "Too cool.", advice: "Warm it.", raised_at: NOON,
  cleared_at: null, outcome: null, acknowledged_at: null, note: null, shelved_until: null,
  latched: false, reset_at: null, shelved_reason: null, suppressed_by: null, out_of_service: null,
  folded_into: null, state: "active",
};

export const probe: Instrument = {
  name: "east-pitcher", bench: "east", role: "pitcher", kind: "one-wire", state: "reading",
  reason: null, remedy: null, rejected: {}, not_kept: {}, readings: 0, per_second: null,
  calibration: null,
  last: { value: 82.1, unit: "degC", quality: "good", taken_at: NOON },
};

export const reading: Reading = {
  channel: "east-pitcher", instrument: "east-pitcher", bench: "east", role: "pitcher",
  value: 82.4, unit: "degC", quality: "good", taken_at: after(1), shown: 82.4,
  t: NOON_MS / 1000 + 1, skipped: 0,
};

export const lot: Lot = {
  id: "7", bench: "east", state: "open", vessels: 12, opened_at: NOON, closed_at: null,
  recipe: {
    name: "Cedar smoke", windows: { add: { low: 80, high: 85 }, pour: null }, never_above: 93,
    stir_seconds: 120, phases: ["draw wax", "add fragrance", "stir"], document: {},
  },
  channels: [
    { channel: "east-pitcher", role: "pitcher" },
    { channel: "east-scale", role: "scale" },
  ],
  phases: [
    {
      phase: "stir", pitcher: 1, began: after(60), ended: null, seconds: null, evidence: "mark",
      rests_on: null,
    },
  ],
  notes: [], photographs: [], weighings: [], marks: [], deviations: [alarm], gaps: [{ from: after(10), to: after(20) }],
  clock_off: [], late: [], verdict: null, kept: false,
  batch_sheet: {
    vessels: 12, fill: 220, mix: 2646, wax: 2450, fragrance: 196, load: 8, load_of: "wax",
    pitchers: [], volume: null, limits: [], pot: null,
  },
  advice: null,
};

const unasked = (): Promise<never> => Promise.reject(new Refusal(500, "not expected", [], null));

/** A service that answers only what a test gives it, and refuses everything else. */
export function serviceWith(answers: Partial<Service>): Service {
  return {
    workshop: unasked, recipes: unasked, pourDays: unasked, planPourDay: unasked,
    previewPourDay: unasked, health: unasked, outboxes: unasked, instruments: unasked,
    alarms: unasked, alarmLog: unasked, alarmFigures: unasked, bench: unasked,
    benchCurve: unasked, lots: unasked, lot: unasked, lotCurve: unasked, openLot: unasked,
    closeLot: unasked, mark: unasked, undo: unasked, acknowledge: unasked, shelve: unasked,
    unshelve: unasked, reset: unasked, typeReading: unasked, goodLots: unasked, judge: unasked,
    writeNote: unasked, removeNote: unasked, sendPhotograph: unasked, removePhotograph: unasked,
    notices: unasked, testNotices: unasked, exports: unasked, instrument: unasked,
    previewCalibration: unasked, calibrate: unasked, withdrawCalibration: unasked,
    boilingWater: unasked, recipe: unasked, recipeVersions: unasked, previewRecipe: unasked,
    keepRecipe: unasked, retireRecipe: unasked, measured: unasked, beside: unasked,
    keepReadings: unasked,
    ...answers,
  };
}

/** A browser's storage, empty at first. */
export function keepWith(): Keep {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
    removeItem: (key) => void kept.delete(key),
  };
}

/** All that the screens share, on a feed and a service of the test's own; its clock stands. */
export function modelWith(feed: FakeFeed, service: Service, keep = keepWith()): WorkshopModel {
  return new WorkshopModel({ feed, service, ticks: () => 0, keep, senses: new FakeSenses() });
}

export { FakeFeed };
