import type { Alarm, Priority } from "../types.ts";

/**
 * Seconds of life after which an alarm that nobody has seen calls again; null is once.
 * Common practice, no source: often enough to be missed by nobody, rarely enough to think.
 */
export const AGAIN_S: Record<Priority, number | null> = { high: 15, medium: 60, low: null };

/** Which alarms call for a person, and when they do so again. */
export class CallPlan {
  #called = new Map<string, number>();

  /** The alarms that call at `nowMs`, the most pressing first; they are due again only later. */
  due(alarms: readonly Alarm[], nowMs: number): Alarm[] {
    const calling = alarms.filter(({ state }) => state === "active");
    const due = calling.filter((alarm) => this.#isDue(alarm, nowMs));
    const known = calling.map(({ id }): [string, number | undefined] => [id, this.#called.get(id)]);
    this.#called = new Map(known.filter((entry): entry is [string, number] =>
      entry[1] !== undefined));
    for (const { id } of due) this.#called.set(id, nowMs);
    return due;
  }

  #isDue({ id, priority }: Alarm, nowMs: number): boolean {
    const last = this.#called.get(id);
    if (last === undefined) return true;
    const again = AGAIN_S[priority];
    return again !== null && nowMs - last >= again * 1000;
  }
}
