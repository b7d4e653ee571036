import type { Alarm, Lot, LotPhase, PitcherMeasured, Weighing, Window } from "../types.ts";
import { story as words } from "../words.ts";
import { differenceOf, isOutside } from "./fills.ts";
import { duration } from "./quantities.ts";
import type { Say } from "./say.ts";
import { standing } from "./verdicts.ts";

/** One paragraph of a lot's story; `off` says that it tells of something that was not right. */
export interface Paragraph {
  text: string;
  off: boolean;
}

type Pitcher = { n: number; shown: number | null; measured: PitcherMeasured | null };

/** Tells what happened in a lot, from its opening to its closing. */
export function storyOf(
  lot: Lot, measured: readonly PitcherMeasured[], say: Say, told: (text: string) => string,
): Paragraph[] {
  const many = lot.batch_sheet.pitchers.length > 1;
  const numbers = lot.batch_sheet.pitchers.map(({ pitcher }) => pitcher);
  const pitchers = (numbers.length === 0 ? [1] : numbers).map((n) => ({
    n, shown: many ? n : null, measured: measured.find(({ pitcher }) => pitcher === n) ?? null,
  }));
  const opened = words.opened(
    say.day(lot.opened_at), say.time(lot.opened_at), lot.bench, lot.vessels, lot.recipe.name,
  );
  return [
    plain(opened),
    ...pitchers.map((pitcher) => plain(ofPitcher(lot, pitcher, say).join(" "))),
    fills(lot, say),
    ...deviations(lot, say, told),
    ...lot.gaps.map(({ from, to }) => plain(words.gap(say.time(from), say.time(to)))),
    plain(ending(lot, say)),
  ];
}

const plain = (text: string): Paragraph => ({ text, off: false });

function ofPitcher(lot: Lot, pitcher: Pitcher, say: Say): string[] {
  const begun = lot.phases.some((phase) => phase.pitcher === pitcher.n);
  // Of a pitcher that nobody has begun there is nothing to miss while the lot is open.
  if (!begun && lot.state === "open") return [];
  const rest = { ...pitcher, shown: null }; // named once, at the beginning
  return [
    wax(lot, pitcher, say), fragrance(lot, rest, say), stir(lot, rest), ...pour(lot, rest, say),
  ].filter((sentence) => sentence !== null);
}

const phaseOf = (lot: Lot, { n }: Pitcher, name: string): LotPhase | undefined =>
  lot.phases.find(({ phase, pitcher }) => phase === name && pitcher === n);

const weighingOf = (lot: Lot, { n }: Pitcher, wanted: Weighing["kind"]): Weighing | undefined =>
  lot.weighings.find(({ kind, pitcher }) => kind === wanted && pitcher === n);

/** What to say of a phase that was not seen: nothing while it may still come. */
function missing(lot: Lot, sentence: string): string | null {
  return lot.state === "closed" ? sentence : null;
}

function wax(lot: Lot, pitcher: Pitcher, say: Say): string | null {
  const weighed = weighingOf(lot, pitcher, "wax");
  if (weighed !== undefined) {
    const { at, grams, target } = weighed;
    return words.waxWeighed(pitcher.shown, say.time(at), say.grams(grams), say.grams(target));
  }
  const phase = phaseOf(lot, pitcher, "draw wax");
  if (phase !== undefined) return words.waxSeen(pitcher.shown, say.time(phase.began));
  return missing(lot, words.noWax(pitcher.shown));
}

function fragrance(lot: Lot, pitcher: Pitcher, say: Say): string | null {
  const phase = phaseOf(lot, pitcher, "add fragrance");
  if (phase === undefined) return missing(lot, words.notScented(pitcher.shown));
  const grams = weighingOf(lot, pitcher, "fragrance")?.grams ?? null;
  const weighed = grams === null ? null : say.grams(grams);
  const { apart = false, added = null } = pitcher.measured ?? {};
  if (apart && added === null) {
    return words.weighedApart(pitcher.shown, say.time(phase.began), weighed);
  }
  const at = apart && added !== null ? added.at : phase.began; // a beaker is tipped in later
  const { add } = lot.recipe.windows;
  return words.scented(pitcher.shown, say.time(at), weighed, warmth(added?.value ?? null, add, say));
}

function warmth(value: number | null, window: Window | null, say: Say): string {
  if (value === null) return words.warmth.unknown;
  const degrees = say.degrees(value);
  if (window === null) return words.warmth.plain(degrees);
  const [stands, asked] = [standing(value, window), say.window(window, words.to)];
  if (stands.kind === "below" || stands.kind === "above") {
    return words.warmth[stands.kind](degrees, say.degreesApart(stands.by), asked);
  }
  return words.warmth.inside(degrees, asked);
}

/** As the rules have it: this much is the moment that it takes to press the key. */
export const STIR_SLACK_S = 1;

function stir(lot: Lot, pitcher: Pitcher): string | null {
  const phase = phaseOf(lot, pitcher, "stir");
  const asked = lot.recipe.stir_seconds;
  if (phase === undefined) {
    return asked === null ? null : missing(lot, words.notStirred(pitcher.shown));
  }
  if (phase.seconds === null) return null; // it goes on
  const [lasted, least] = [duration(phase.seconds), asked === null ? null : duration(asked)];
  if (phase.evidence === "gap") return words.stirredAtMost(pitcher.shown, lasted, least);
  if (asked === null || least === null || phase.seconds >= asked - STIR_SLACK_S) {
    return words.stirred(pitcher.shown, lasted, least);
  }
  const short = duration(Math.ceil(asked - phase.seconds));
  return words.stirredShort(pitcher.shown, lasted, short, least);
}

function pour(lot: Lot, pitcher: Pitcher, say: Say): (string | null)[] {
  const phase = phaseOf(lot, pitcher, "pour");
  if (phase === undefined) return [missing(lot, words.notPoured(pitcher.shown))];
  const degrees = (then: PitcherMeasured["pour_began"] | undefined): string | null =>
    then?.value == null ? null : say.degrees(then.value);
  const first = degrees(pitcher.measured?.pour_began);
  const last = degrees(pitcher.measured?.pour_ended);
  const { pour: window } = lot.recipe.windows;
  const asked = window === null ? null : words.pourWindow(say.window(window, words.to));
  if (phase.ended === null) return [words.pouring(pitcher.shown, say.time(phase.began), first)];
  const [from, to] = [say.time(phase.began), say.time(phase.ended)];
  return [words.poured(pitcher.shown, from, to, first, last), asked];
}

function fills(lot: Lot, say: Say): Paragraph {
  const filled = lot.weighings.filter(({ kind }) => kind === "fill");
  const [first] = filled;
  const begin = words.filled(filled.length, lot.vessels);
  if (first === undefined) return { text: `${begin}.`, off: lot.state === "closed" };
  const outside = filled.filter(isOutside).map((fill) => {
    const off = differenceOf(fill);
    return words.vessel(fill.vessel ?? 0, say.gramsApart(off), off > 0);
  });
  const rest = outside.length === 0
    ? words.allWithin(say.grams(first.tolerance), say.grams(first.target))
    : words.outside(outside);
  const lacking = lot.state === "closed" && filled.length < lot.vessels;
  return { text: begin + rest, off: lacking || outside.length > 0 };
}

function deviations(lot: Lot, say: Say, told: (text: string) => string): Paragraph[] {
  if (lot.deviations.length === 0) return [plain(words.nothingOff)];
  const each = lot.deviations.map((deviation) => ({
    text: deviationText(deviation, say, told), off: true,
  }));
  return [plain(words.off(each.length)), ...each];
}

function deviationText(deviation: Alarm, say: Say, told: (text: string) => string): string {
  const { raised_at: at, message, outcome, note } = deviation;
  const parts = [words.deviation(say.time(at), told(message))];
  parts.push(outcome === null ? words.open : words.became(told(outcome)));
  if (note !== null && note !== "") parts.push(words.noted(note));
  return parts.join(" ");
}

function ending(lot: Lot, say: Say): string {
  if (lot.closed_at === null) return words.stillOpen;
  const seconds = (Date.parse(lot.closed_at) - Date.parse(lot.opened_at)) / 1000;
  return words.closed(say.time(lot.closed_at), duration(seconds));
}
