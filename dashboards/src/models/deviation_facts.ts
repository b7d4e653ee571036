import type { Alarm, Lot } from "../types.ts";
import { deviations as words } from "../words.ts";
import { duration } from "./quantities.ts";
import type { Say } from "./say.ts";

/** A fact of what became of a deviation: its name, and what it was. */
export type Fact = readonly [name: string, text: string];

/** How long a deviation lasted, who saw it, and what was done about it. */
export function deviationFacts(
  deviation: Alarm, lot: Lot, nowMs: number, say: Say, told: (text: string) => string,
): Fact[] {
  const { outcome, note, acknowledged_at: seen, reset_at: reset } = deviation;
  const facts: (Fact | null)[] = [
    [words.outcome, outcome === null ? words.noOutcome : told(outcome)],
    [words.lasted, lasted(deviation, lot, nowMs)],
    [words.seen, seen === null ? words.notSeen : seenAt(deviation, seen, say)],
    note === null || note === "" ? null : [words.note, note],
    aside(deviation, say),
    reset === null ? null : [words.letGo, words.at(say.time(reset))],
    deviation.out_of_service === null ? null : [words.out, deviation.out_of_service],
  ];
  return facts.filter((fact) => fact !== null);
}

const between = (from: string, toMs: number): string =>
  duration((toMs - Date.parse(from)) / 1000);

function lasted({ raised_at: from, cleared_at: cleared }: Alarm, lot: Lot, nowMs: number): string {
  if (cleared !== null) return between(from, Date.parse(cleared));
  if (lot.closed_at === null) return words.stands(between(from, nowMs));
  const closed = Date.parse(lot.closed_at);
  // What is told as the lot is closed, such as a step left out, lasts no time at all.
  return words.toTheEnd(between(from, Math.max(closed, Date.parse(from))));
}

function seenAt({ raised_at: raised }: Alarm, seen: string, say: Say): string {
  return words.seenAt(say.time(seen), between(raised, Date.parse(seen)));
}

function aside({ shelved_until: until, shelved_reason: reason }: Alarm, say: Say): Fact | null {
  return until === null ? null : [words.aside, words.asideUntil(say.time(until), reason ?? "")];
}
