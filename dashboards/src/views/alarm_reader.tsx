import type { JSX } from "preact";
import type { AlarmsModel } from "../models/alarms.ts";

/** Reads a new alarm out to a screen reader, once; those that were there before are silent. */
export function AlarmReader({ alarms }: { alarms: AlarmsModel }): JSX.Element {
  const alarm = alarms.announced.value;
  return (
    <div class="unseen" aria-live="assertive">
      {alarm === null ? "" : `${alarm.message} ${alarm.advice}`}
    </div>
  );
}
