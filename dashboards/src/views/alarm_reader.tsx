import { useSignalEffect } from "@preact/signals";
import { useMemo, useRef } from "preact/hooks";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { alarms as words } from "../words.ts";
import { catchFocus } from "./catch_focus.ts";

/** Reads a new alarm out to a screen reader, once; those that were there before are silent. */
export function AlarmReader({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const { alarms, preferences } = workshop;
  const announced = alarms.announced.value;
  const answered = alarms.answered.value;
  useSignalEffect(() => {
    if (alarms.answered.value !== null) requestAnimationFrame(catchFocus);
  });
  return (
    <>
      <div class="unseen" aria-live="assertive">
        <Saying
          of={announced}
          text={({ message, advice }) => preferences.toldNow(`${message} ${advice}`)}
        />
      </div>
      <div class="unseen" role="status">
        <Saying
          of={answered}
          text={({ answer, alarm }) => words.answered[answer](preferences.toldNow(alarm.message))}
        />
      </div>
    </>
  );
}

interface SayingProps<T> {
  of: T | null;
  text: (of: T) => string;
}

/**
 * What is said of a thing when it comes, and not again in other units. Each has an element of its
 * own, or else the same words would be no news the second time.
 */
function Saying<T>({ of, text }: SayingProps<T>): JSX.Element | null {
  const turn = useRef(0);
  const said = useMemo(() => {
    turn.current += 1;
    return of === null ? null : text(of);
  }, [of]);
  return said === null ? null : <p key={turn.current}>{said}</p>;
}
