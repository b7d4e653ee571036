import { useSignalEffect } from "@preact/signals";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { alarms as words } from "../words.ts";
import { catchFocus } from "./catch_focus.ts";

/** Reads a new alarm out to a screen reader, once; those that were there before are silent. */
export function AlarmReader({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const { alarms, preferences } = workshop;
  const alarm = alarms.announced.value;
  const answered = alarms.answered.value;
  useSignalEffect(() => {
    if (alarms.answered.value !== null) requestAnimationFrame(catchFocus);
  });
  return (
    <>
      <div class="unseen" aria-live="assertive">
        {alarm === null ? "" : preferences.told(`${alarm.message} ${alarm.advice}`)}
      </div>
      <div class="unseen" role="status">
        {answered === null
          ? ""
          : words.answered[answered.answer](preferences.told(answered.alarm.message))}
      </div>
    </>
  );
}
