import type { JSX } from "preact";
import type { Place } from "../models/alarms.ts";
import { unbroken } from "../models/unbroken.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";
import { AlarmAnswers } from "./alarm_answers.tsx";
import { Sign } from "./sign.tsx";

interface CardProps {
  workshop: WorkshopModel;
  alarm: Alarm;
  place: Place;
  /** Whether the key works for this one. */
  showsKey: boolean;
  /** A way to further alarms. */
  more?: JSX.Element | null;
}

/** One alarm: how pressing it is, what is wrong, what would put it right. */
export function AlarmCard(props: CardProps): JSX.Element {
  const { workshop, alarm, place, showsKey, more = null } = props;
  const active = alarm.state === "active"; // only then there is something to do, and color
  const tone = active ? alarm.priority : "quiet";
  const { preferences } = workshop;
  const advice = active ? alarm.advice : alarm.outcome ?? alarm.advice;
  return (
    <article class={`alarm ${tone}`}>
      <div>
        <AlarmFacts workshop={workshop} alarm={alarm} />
        <p class="what">{unbroken(preferences.told(alarm.message))}</p>
        <p class={active ? "advice" : "advice outcome"}>{unbroken(preferences.told(advice))}</p>
      </div>
      <AlarmAnswers
        workshop={workshop} alarm={alarm} place={place} showsKey={showsKey} more={more}
      />
    </article>
  );
}

function AlarmFacts({ workshop, alarm }: Pick<CardProps, "workshop" | "alarm">): JSX.Element {
  const active = alarm.state === "active";
  return (
    <p class="facts">
      <Sign name={alarm.priority} />
      {active ? <strong>{words.priority[alarm.priority]}</strong> : null}
      <span>{words.raised(workshop.wall.value.time(alarm.raised_at))}</span>
      {stateText(workshop, alarm).map((text) => <span key={text}>{text}</span>)}
    </p>
  );
}

/** The state in words, with what belongs to it; one that a newer service adds by its own name. */
function stateText(workshop: WorkshopModel, alarm: Alarm): string[] {
  const state = words.state[alarm.state] ?? alarm.state;
  const { shelved_until: until, shelved_reason: reason = null } = alarm;
  const suppressor = workshop.alarms.suppressor(alarm);
  switch (alarm.state) {
    case "active": return alarm.latched === true ? [state, words.stays] : [state];
    case "suppressed": return [suppressor === null ? state : words.suppressed(suppressor)];
    case "shelved": return [
      state,
      ...(until === null ? [] : [words.until(workshop.wall.value.time(until))]),
      ...because(reason),
    ];
    case "out of service": return [state, ...because(alarm.out_of_service ?? null)];
    default: return [state];
  }
}

function because(reason: string | null): string[] {
  return reason === null || reason === "" ? [] : [words.because(reason)];
}
