import { several } from "./several.ts";

const inPitcher = (n: number | null): string => n === null ? "" : `Pitcher ${n}: `;

/** Puts the number of the pitcher before a sentence, where there are several. */
function of(pitcher: number | null, sentence: string): string {
  return pitcher === null ? sentence : inPitcher(pitcher) + sentence;
}

/** What happened in a lot, in sentences. */
export const story = {
  title: "What happened",
  to: "to",
  opened: (day: string, at: string, bench: string, vessels: number, recipe: string) =>
    `Opened on ${day} at ${at} at bench ${bench}, for `
    + `${several(vessels, "vessel", "vessels")} of ${recipe}.`,
  waxWeighed: (pitcher: number | null, at: string, grams: string, target: string) =>
    of(pitcher, `Wax was drawn by ${at}: ${grams} of the ${target} asked for.`),
  waxSeen: (pitcher: number | null, at: string) =>
    of(pitcher, `Wax was drawn from ${at}; it was not weighed.`),
  noWax: (pitcher: number | null) => of(pitcher, "No wax was seen to be drawn."),
  scented: (
    pitcher: number | null, at: string, grams: string | null, warmth: string,
  ) => of(
    pitcher, `Fragrance went in at ${at}${grams === null ? ", unweighed" : `, ${grams} of it`}; `
      + `${warmth}.`,
  ),
  weighedApart: (pitcher: number | null, at: string, grams: string | null) => of(
    pitcher, `Fragrance was weighed in a beaker at ${at}${grams === null ? "" : `, ${grams} of it`}; `
      + "when it went into the wax was not seen.",
  ),
  notScented: (pitcher: number | null) => of(pitcher, "No fragrance was seen to go in."),
  warmth: {
    unknown: "no thermometer told how warm the wax was",
    plain: (degrees: string) => `the wax was at ${degrees}`,
    inside: (degrees: string, window: string) =>
      `the wax was at ${degrees}, inside the window of ${window}`,
    below: (degrees: string, by: string, window: string) =>
      `the wax was at ${degrees}, ${by} under the window of ${window}`,
    above: (degrees: string, by: string, window: string) =>
      `the wax was at ${degrees}, ${by} over the window of ${window}`,
  },
  stirred: (pitcher: number | null, lasted: string, asked: string | null) =>
    of(pitcher, asked === null
      ? `It was stirred for ${lasted}.`
      : `It was stirred for ${lasted}; the recipe asks for ${asked}.`),
  stirredShort: (pitcher: number | null, lasted: string, short: string, asked: string) =>
    of(pitcher, `It was stirred for ${lasted}, ${short} short of the ${asked} asked for.`),
  stirredAtMost: (pitcher: number | null, lasted: string, asked: string | null) =>
    of(pitcher, `Nobody marked the stir: it can have lasted ${lasted} at most`
      + `${asked === null ? "" : `, of the ${asked} asked for`}.`),
  notStirred: (pitcher: number | null) => of(pitcher, "No stir was seen or marked."),
  poured: (
    pitcher: number | null, from: string, to: string, first: string | null, last: string | null,
  ) => of(pitcher, `It was poured from ${from} to ${to}${
    first === null || last === null ? "" : `, from ${first} down to ${last}`}.`),
  pouring: (pitcher: number | null, from: string, first: string | null) =>
    of(pitcher, `It is being poured since ${from}${first === null ? "" : `, from ${first} on`}.`),
  pourWindow: (window: string) => `The window to pour is ${window}.`,
  notPoured: (pitcher: number | null) => of(pitcher, "No pour was seen."),
  filled: (n: number, of: number) =>
    n === of && n > 1 ? `All ${n} vessels were filled` : `${n} of ${several(of, "vessel", "vessels")
    } ${n === 1 ? "was" : "were"} filled`,
  allWithin: (tolerance: string, target: string) => `, each within ${tolerance} of ${target}.`,
  outside: (which: string[]) => `; outside of what is allowed: ${which.join(", ")}.`,
  vessel: (n: number, by: string, over: boolean) =>
    `vessel ${n} (${by} ${over ? "over" : "under"})`,
  nothingOff: "Nothing was off.",
  off: (n: number) => `${several(n, "thing was", "things were")} off:`,
  deviation: (at: string, message: string) => `At ${at}: ${message}`,
  became: (outcome: string) => `What became of it: ${outcome}.`,
  noted: (note: string) => `Noted: “${note}”.`,
  open: "It still stands.",
  gap: (from: string, to: string) => `Nothing was collected from ${from} to ${to}.`,
  closed: (at: string, after: string) => `Closed at ${at}, after ${after}.`,
  stillOpen: "The lot is still open.",
};
