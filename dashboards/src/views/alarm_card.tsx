import type { JSX } from "preact";
import { wantsAcknowledging } from "../models/alarms.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";
import { Sign } from "./sign.tsx";

/** How long an alarm is put aside for at a press. */
const SHELVE_MINUTES = 10;

interface CardProps {
  workshop: WorkshopModel;
  alarm: Alarm;
  /** Whether the key works for this one. */
  showsKey: boolean;
  /** A way to further alarms. */
  more?: JSX.Element | null;
}

/** One alarm: how pressing it is, what is wrong, what would put it right. */
export function AlarmCard({ workshop, alarm, showsKey, more = null }: CardProps): JSX.Element {
  const active = alarm.state === "active"; // only then there is something to do, and color
  const tone = active ? alarm.priority : "quiet";
  return (
    <article class={`alarm ${tone}`}>
      <div>
        <AlarmFacts workshop={workshop} alarm={alarm} />
        <p class="what">{alarm.message}</p>
        <p class="advice">{active ? alarm.advice : alarm.outcome ?? alarm.advice}</p>
      </div>
      {wantsAcknowledging(alarm)
        ? <Answers workshop={workshop} alarm={alarm} showsKey={showsKey} more={more} />
        : null}
    </article>
  );
}

function AlarmFacts({ workshop, alarm }: Pick<CardProps, "workshop" | "alarm">): JSX.Element {
  const wall = workshop.wall.value;
  const until = alarm.shelved_until;
  return (
    <p class="facts">
      <Sign name={alarm.priority} />
      {alarm.state === "active" ? <strong>{words.priority[alarm.priority]}</strong> : null}
      <span>{words.raised(wall.time(alarm.raised_at))}</span>
      <span>{words.state[alarm.state]}</span>
      {alarm.state !== "shelved" || until === null
        ? null
        : <span>{words.until(wall.time(until))}</span>}
    </p>
  );
}

function Answers({ workshop, alarm, showsKey, more = null }: CardProps): JSX.Element {
  const { alarms } = workshop;
  return (
    <div class="answers">
      {more}
      <button type="button" onClick={() => void alarms.acknowledge(alarm)}>
        {words.acknowledge}
        <span class="unseen">: {alarm.message}</span>
        {showsKey ? <small>{words.acknowledgeKey}</small> : null}
      </button>
      {alarm.priority === "high" ? null : (
        <button type="button" onClick={() => void alarms.shelve(alarm, SHELVE_MINUTES)}>
          {words.shelve(SHELVE_MINUTES)}
          <span class="unseen">: {alarm.message}</span>
        </button>
      )}
    </div>
  );
}
