import type { Lot, LotPhase, PitcherMeasured, Weighing, Window } from "../types.ts";
import { asked as words, phaseName } from "../words.ts";
import { differenceOf, figuresOf, isOutside } from "./fills.ts";
import { duration } from "./quantities.ts";
import type { Say } from "./say.ts";
import { STIR_SLACK_S } from "./story.ts";
import { standing } from "./verdicts.ts";

/** On which side of what was asked a value is, where that is a deviation. */
export type Side = "over" | "under";

/** One line of the table: what was asked, what was, and how they differ in words. */
export interface AskedRow {
  what: string;
  asked: string;
  was: string;
  /** When, or from when to when. */
  when: string | null;
  difference: string;
  off: Side | null;
}

type Then = PitcherMeasured["added"];
type Row = AskedRow | null;

/** Everything that the recipe asks of a lot, against what was measured. */
export function askedRows(
  lot: Lot, measured: readonly PitcherMeasured[], say: Say,
): AskedRow[] {
  const many = measured.length > 1;
  const rows = measured.flatMap((pitcher) => {
    const found = pitcherRows(lot, pitcher, say).filter((row) => row !== null);
    if (!many) return found;
    return found.map((row) => ({ ...row, what: words.pitcher(row.what, pitcher.pitcher) }));
  });
  return [...rows, fillRow(lot, say), wholeRow(lot, say)].filter((row) => row !== null);
}

function pitcherRows(lot: Lot, pitcher: PitcherMeasured, say: Say): Row[] {
  const of = (kind: Weighing["kind"]): Weighing | undefined => lot.weighings.find(
    (weighing) => weighing.kind === kind && weighing.pitcher === pitcher.pitcher,
  );
  const { add, pour } = lot.recipe.windows;
  return [
    weighedRow(words.row.wax, of("wax"), say),
    weighedRow(words.row.fragrance, of("fragrance"), say),
    loadRow(lot, pitcher),
    warmRow(words.row.added, pitcher.added, add, say),
    stirRow(lot, pitcher.pitcher, say),
    warmRow(words.row.pourBegan, pitcher.pour_began, pour, say),
    warmRow(words.row.pourEnded, pitcher.pour_ended, pour, say),
    ...ownPhaseRows(lot, pitcher.pitcher, say),
  ];
}

function weighedRow(what: string, weighing: Weighing | undefined, say: Say): Row {
  if (weighing === undefined) return null;
  const off = differenceOf(weighing);
  const shown = say.gramsApart(off);
  return {
    what, was: say.grams(weighing.grams), when: words.at(say.time(weighing.at)),
    asked: words.within(say.grams(weighing.target), say.grams(weighing.tolerance)),
    difference: shown === say.gramsApart(0) ? words.asAsked : words.apart(shown, off > 0),
    off: isOutside(weighing) ? sideOf(off) : null,
  };
}

const sideOf = (off: number): Side => off > 0 ? "over" : "under";

function loadRow(lot: Lot, { load }: PitcherMeasured): Row {
  if (load === null) return null;
  const { load: wanted, load_of: basis } = lot.batch_sheet;
  const off = (basis === "wax" ? load.of_wax : load.of_total) - wanted;
  const points = Math.abs(off).toFixed(2);
  return {
    what: words.row.load, when: null,
    asked: words.loadAsked(wanted.toFixed(1), basis),
    was: words.loadWas(load.of_wax.toFixed(2), load.of_total.toFixed(2)),
    difference: Number(points) === 0 ? words.asAsked : words.points(points, off > 0),
    off: null, // the fragrance's grams carry the sign: they have the tolerance
  };
}

function warmRow(what: string, then: Then, window: Window | null, say: Say): Row {
  if (then === null) return null;
  const asked = window === null ? words.noAsk : say.window(window, words.to);
  const when = words.at(say.time(then.at));
  if (then.value === null) {
    return { what, asked, was: words.unknown, when, difference: "", off: null };
  }
  const stands = standing(then.value, window ?? { low: null, high: null });
  const outside = stands.kind === "below" || stands.kind === "above";
  const inside = stands.kind === "inside" ? words.inside : "";
  const side = stands.kind === "above" ? "over" : "under";
  return {
    what, asked, when, was: say.degrees(then.value),
    difference: outside ? words.apart(say.degreesApart(stands.by), side === "over") : inside,
    off: outside && then.off ? side : null,
  };
}

function stirRow(lot: Lot, pitcher: number, say: Say): Row {
  const phase = phaseOf(lot, pitcher, "stir");
  const least = lot.recipe.stir_seconds;
  if (phase === undefined || phase.seconds === null) return null;
  return {
    what: words.row.stir, ...timed(phase, phase.seconds, say),
    asked: least === null ? words.noAsk : words.atLeast(duration(least)),
    ...lasting(phase.seconds, least),
  };
}

const phaseOf = (lot: Lot, pitcher: number, name: string): LotPhase | undefined =>
  lot.phases.find((phase) => phase.phase === name && phase.pitcher === pitcher);

function timed(phase: LotPhase, seconds: number, say: Say): Pick<AskedRow, "was" | "when"> {
  const was = phase.evidence === "gap" ? words.atMost(duration(seconds)) : duration(seconds);
  const { began, ended } = phase;
  return { was, when: ended === null ? null : words.from(say.time(began), say.time(ended)) };
}

function lasting(seconds: number, least: number | null): Pick<AskedRow, "difference" | "off"> {
  if (least === null) return { difference: "", off: null };
  const by = seconds - least;
  if (by < -STIR_SLACK_S) {
    return { difference: words.shorter(duration(Math.ceil(-by))), off: "under" };
  }
  return { difference: by < 1 ? words.asAsked : words.longer(duration(by)), off: null };
}

/** Phases that the recipe adds, each against the times that it sets for it. */
function ownPhaseRows(lot: Lot, pitcher: number, say: Say): Row[] {
  const added = lot.recipe.document["phase"];
  if (!Array.isArray(added)) return [];
  return added.map((each: unknown) => {
    const [name, least, most] = ["name", "at_least", "at_most"].map((key) => textOf(each, key));
    const phase = phaseOf(lot, pitcher, name ?? "");
    if (phase === undefined || phase.seconds === null) return null;
    const limits = [least ? words.atLeast(least) : null, most ? words.atMost(most) : null];
    const off = lot.deviations.find(
      (found) => found.rule === "phase-duration" && found.phase === phase.phase,
    );
    return {
      what: words.ownTime(phaseName(phase.phase)), ...timed(phase, phase.seconds, say),
      asked: limits.filter((limit) => limit !== null).join(", ") || words.noAsk,
      difference: "", off: off === undefined ? null : sideOfTime(off.measured, off.limit.low),
    };
  });
}

const sideOfTime = (measured: number | null, low: number | null): Side =>
  measured !== null && low !== null && measured < low ? "under" : "over";

/** A text of a document that came from outside; null where it is none. */
function textOf(from: unknown, key: string): string | null {
  if (typeof from !== "object" || from === null) return null;
  const found = new Map<string, unknown>(Object.entries(from)).get(key);
  return typeof found === "string" ? found : null;
}

function fillRow(lot: Lot, say: Say): Row {
  const fills = lot.weighings.filter(({ kind }) => kind === "fill");
  const figures = figuresOf(fills);
  if (figures === null) return null;
  const missing = lot.state === "closed" ? lot.vessels - figures.n : 0;
  const differences = [
    missing > 0 ? words.notFilled(missing) : null,
    figures.outside > 0 ? words.outside(figures.outside) : words.allWithin,
  ];
  return {
    what: words.row.fills, when: null,
    asked: words.fills(lot.vessels, say.grams(lot.batch_sheet.fill)),
    was: words.filled(figures.n, say.grams(figures.mean)),
    difference: differences.filter((part) => part !== null).join(", "),
    off: missing > 0 || figures.outside > 0 ? sideOf(worst(fills)) : null,
  };
}

/** The greatest difference of all, with its sign; none is less than was asked for. */
function worst(fills: readonly Weighing[]): number {
  return fills.filter(isOutside).map(differenceOf)
    .reduce((most, off) => Math.abs(off) > Math.abs(most) ? off : most, 0);
}

function wholeRow(lot: Lot, say: Say): Row {
  if (lot.closed_at === null) return null;
  const seconds = (Date.parse(lot.closed_at) - Date.parse(lot.opened_at)) / 1000;
  return {
    what: words.row.whole, asked: words.noAsk, was: duration(seconds), difference: "", off: null,
    when: words.from(say.time(lot.opened_at), say.time(lot.closed_at)),
  };
}
