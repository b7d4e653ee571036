import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Outbox } from "../types.ts";
import { health as words } from "../words.ts";
import { Sign } from "./sign.tsx";

interface OutboxProps {
  workshop: WorkshopModel;
  outboxes: Outbox[];
}

/** What waits to be sent to other places, and what they refused. */
export function OutboxList({ workshop, outboxes }: OutboxProps): JSX.Element {
  return (
    <section class="panel" aria-label={words.outboxes}>
      <h2>{words.outboxes}</h2>
      {outboxes.length === 0 ? <p>{words.noOutboxes}</p> : null}
      <ul class="outboxes">
        {outboxes.map((outbox) => (
          <li key={outbox.target}><OutboxItem workshop={workshop} outbox={outbox} /></li>
        ))}
      </ul>
    </section>
  );
}

function OutboxItem({ workshop, outbox }: { workshop: WorkshopModel; outbox: Outbox }): JSX.Element {
  const wall = workshop.wall.value;
  const at = (instant: string): string => `${wall.day(instant)}, ${wall.time(instant)}`;
  const { last_sent_at: sent, trouble_since: since, refusals } = outbox;
  return (
    <>
      <p class="facts">
        <Sign name={since === null ? "check" : "medium"} />
        <strong>{outbox.target}</strong>
        <span>{outbox.state}</span>
        <span>{words.waiting(outbox.waiting)}</span>
        {outbox.refused === 0 ? null : <span>{words.refused(outbox.refused)}</span>}
        <span>{sent === null ? words.never : words.lastSent(at(sent))}</span>
        {since === null ? null : <span>{words.since(at(since))}</span>}
      </p>
      {outbox.reason === null ? null : <p>{outbox.reason}</p>}
      {refusals.length === 0 ? null : (
        <details>
          <summary>{words.refusals}</summary>
          <ul>
            {refusals.map(({ at: when, reason, point }) => (
              <li key={`${when} ${point}`}>
                {at(when)}: {reason} <code>{point}</code>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}
