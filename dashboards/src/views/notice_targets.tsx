import type { JSX } from "preact";
import { stateOf } from "../models/notices.ts";
import type { TargetState } from "../models/notices.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { Instant, NoticeTarget } from "../types.ts";
import { notices as words } from "../words.ts";
import "./notice_targets.css";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

const SIGNS: Record<TargetState, SignName> = {
  working: "check", untried: "dash", failing: "medium",
};

/** A moment with its day: a message may be from last week. */
export function moment(wall: WallTime, at: Instant): string {
  return words.at(wall.day(at), wall.minute(at));
}

/** Each address by its kind and host, and how it does. */
export function NoticeTargets(props: { targets: NoticeTarget[]; wall: WallTime }): JSX.Element {
  return (
    <section class="panel" aria-label={words.targets}>
      <h2>{words.targets}</h2>
      <ul class="notice-targets">
        {props.targets.map((target) => (
          <li key={target.target}><Target target={target} wall={props.wall} /></li>
        ))}
      </ul>
    </section>
  );
}

function Target({ target, wall }: { target: NoticeTarget; wall: WallTime }): JSX.Element {
  const state = stateOf(target);
  const when = (at: Instant): string => moment(wall, at);
  const { trouble_since: since, last_sent_at: sent, last_failed_at: failed } = target;
  return (
    <>
      <p class="notice-target">
        <strong>{target.target}</strong>
        <span class={`notice-state ${state}`}>
          <Sign name={SIGNS[state]} /> {words.state[state]}
          {since === null ? null : ` ${words.since(when(since))}`}
        </span>
      </p>
      {target.reason === null ? null : <p>{target.reason}</p>}
      {target.waiting === 0 ? null : <p>{words.waiting(target.waiting)}</p>}
      {target.lost === 0 ? null : <p>{words.lost(target.lost)}</p>}
      {sent === null ? null : <p class="soft">{words.lastSent(when(sent))}</p>}
      {failed === null || target.reason !== null
        ? null
        : <p class="soft">{words.lastFailed(when(failed), target.last_failure ?? "")}</p>}
    </>
  );
}
