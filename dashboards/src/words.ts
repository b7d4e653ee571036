/**
 * Every text of the screens, by language. A second language is a file beside words/english.ts that
 * exports the same names, and a line in LANGUAGES.
 */

import * as english from "./words/english.ts";

/** What a language has to say. */
export type Words = typeof english;

const LANGUAGES: Readonly<Record<string, Words>> = { en: english };

/** The first language of the browser's owner that there is, else English. */
export function wordsFor(wanted: readonly string[]): Words {
  const known = wanted.map((tag) => LANGUAGES[tag.split("-")[0] ?? ""]);
  return known.find((words) => words !== undefined) ?? english;
}

export const {
  alarmHistory, alarms, attention, bench, chart, deviations, exports, forecast, gaps, hand, health,
  instruments, lot, lots, marks, opening, page,
  phaseName, phases, pourDays, reading, scale, sheet, temperature,
  verdict, weighings,
} = wordsFor(navigator.languages);
