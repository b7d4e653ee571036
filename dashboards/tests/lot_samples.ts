/** A lot of our own invention that is over, and what was measured of it. */
import { sayIn } from "../src/models/say.ts";
import { WallTime } from "../src/models/wall_time.ts";
import type { Lot, PitcherMeasured, Weighing } from "../src/types.ts";
import { after, alarm, lot } from "./fixtures.ts";

export const METRIC = { temperature: "degC", mass: "g" } as const;
export const say = sayIn(METRIC, new WallTime("UTC"));
export const asIs = (text: string): string => text;

const weighing = (
  kind: Weighing["kind"], vessel: number | null, grams: number, target: number, seconds: number,
): Weighing => ({
  kind, pitcher: 1, vessel, grams, target, tolerance: kind === "wax" ? 10 : 2, at: after(seconds),
  evidence: { channel: "east-scale", from: after(seconds - 2), to: after(seconds), readings: 9 },
});

const phase = (
  name: string, began: number, ended: number, evidence: Lot["phases"][number]["evidence"] = "scale",
): Lot["phases"][number] => ({
  phase: name, pitcher: 1, began: after(began), ended: after(ended), seconds: ended - began,
  evidence, rests_on: null,
});

export const closedLot: Lot = {
  ...lot, state: "closed", vessels: 3, closed_at: after(1500), gaps: [],
  recipe: {
    ...lot.recipe, windows: { add: { low: 80, high: 85 }, pour: { low: 57, high: 63 } },
  },
  phases: [
    phase("draw wax", 30, 90), phase("add fragrance", 200, 230),
    phase("stir", 240, 365, "mark"), phase("pour", 1000, 1200),
  ],
  weighings: [
    weighing("wax", null, 616, 615, 90), weighing("fragrance", null, 49, 49.3, 230),
    weighing("fill", 1, 220.4, 220, 1060), weighing("fill", 2, 213.9, 220, 1130),
    weighing("fill", 3, 219.6, 220, 1200),
  ],
  deviations: [{
    ...alarm, rule: "fill-grams", vessel: 2, priority: "medium", phase: "pour",
    message: "Vessel 2 of 3 is 6.1 g light: 213.9 g of 220.0 g.", advice: "Top it up.",
    raised_at: after(1131), cleared_at: after(1500), outcome: "the lot was closed",
    acknowledged_at: after(1191), note: "no wax left", state: "ended",
  }],
  batch_sheet: {
    ...lot.batch_sheet, vessels: 3,
    pitchers: [{ pitcher: 1, vessels: 3, mix: 666, wax: 615, fragrance: 49.3 }],
  },
};

export const measured: PitcherMeasured = {
  pitcher: 1, channel: "east-pitcher", apart: false, load: { of_wax: 7.95, of_total: 7.37 },
  added: { at: after(200), value: 82.1, off: false },
  pour_began: { at: after(1000), value: 61.5, off: false },
  pour_ended: { at: after(1200), value: 56.1, off: true },
};
