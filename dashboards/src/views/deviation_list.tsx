import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm, Lot } from "../types.ts";
import { alarms, phaseName, deviations as words } from "../words.ts";
import { Sign } from "./sign.tsx";

interface ListProps {
  workshop: WorkshopModel;
  lot: Lot;
}

/** What was off in the lot, numbered as on the chart, and what became of it. */
export function DeviationList({ workshop, lot }: ListProps): JSX.Element {
  return (
    <section class="panel deviations" aria-label={words.title}>
      <h2>{words.title}</h2>
      {lot.deviations.length === 0 ? <p>{words.none}</p> : null}
      <ol>
        {lot.deviations.map((deviation, index) => (
          <li key={deviation.id}>
            <span class="rank">{index + 1}</span>
            <Deviation workshop={workshop} deviation={deviation} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Deviation(props: { workshop: WorkshopModel; deviation: Alarm }): JSX.Element {
  const { deviation } = props;
  const { preferences } = props.workshop;
  const wall = props.workshop.wall.value;
  return (
    <div>
      <p class="facts soft">
        <Sign name={deviation.priority} />
        {deviation.state === "active"
          ? <span>{alarms.priority[deviation.priority]}</span>
          : null}
        <span>{wall.time(deviation.raised_at)}</span>
        {placeOf(deviation).map((place) => <span key={place}>{place}</span>)}
      </p>
      <p><strong>{preferences.told(deviation.message)}</strong></p>
      <p>{preferences.told(deviation.advice)}</p>
      <dl>
        <dt class="soft">{words.outcome}</dt>
        <dd>{preferences.told(deviation.outcome ?? words.noOutcome)}</dd>
        {deviation.note === null || deviation.note === ""
          ? null
          : <><dt class="soft">{words.note}</dt><dd>{deviation.note}</dd></>}
      </dl>
    </div>
  );
}

function placeOf({ phase, pitcher, vessel }: Alarm): string[] {
  return [
    phase === null ? null : words.where.phase(phaseName(phase)),
    pitcher === null ? null : words.where.pitcher(pitcher),
    vessel === null ? null : words.where.vessel(vessel),
  ].filter((place) => place !== null);
}
