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
  alarmHistory, alarms, asked, attention, bench, beside, calibration, chart, choices, curve,
  deviations, editor, exports, fields, firstStart, forecast, gaps, groups, hand, health,
  instruments, keeping, lot, lots, marks, notes, notices, opening, page, phaseName, phases,
  photographs, pourDays, reading, recipes, rowFields, rowWords, scale, sheet, story, targets,
  temperature, verdict, versions, weighings,
} = wordsFor(navigator.languages);
