import type { JSX } from "preact";
import { deviationFacts } from "../models/deviation_facts.ts";
import { unbroken } from "../models/unbroken.ts";
import type { Alarm } from "../types.ts";
import { alarms, phaseName, deviations as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { ShowInCurve } from "./show_in_curve.tsx";
import { Sign } from "./sign.tsx";

/** What was off in the lot, numbered as on the chart, and what was done about it. */
export function DeviationList(props: LotPanelProps): JSX.Element {
  const { deviations } = props.lot;
  return (
    <section class="panel deviations" aria-label={words.title}>
      <h2>{words.looking}</h2>
      {deviations.length === 0 ? <p>{words.none}</p> : null}
      <ol>
        {deviations.map((deviation, index) => (
          <li key={deviation.id}>
            <span class="rank">{index + 1}</span>
            <Deviation {...props} deviation={deviation} n={index + 1} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Deviation(props: LotPanelProps & { deviation: Alarm; n: number }): JSX.Element {
  const { deviation, n, workshop, screen, lot } = props;
  const { preferences } = workshop;
  const told = (text: string): string => unbroken(preferences.told(text));
  const nowMs = lot.state === "open" ? workshop.clock.second.value * 1000 : 0;
  return (
    <div>
      <p class="facts soft">
        <Sign name={deviation.priority} />
        {deviation.state === "active"
          ? <span>{alarms.priority[deviation.priority]}</span>
          : null}
        <span>{screen.say.value.time(deviation.raised_at)}</span>
        {placeOf(deviation).map((place) => <span key={place}>{place}</span>)}
      </p>
      <p><strong>{told(deviation.message)}</strong></p>
      <p>{told(deviation.advice)}</p>
      <dl>
        {deviationFacts(deviation, lot, nowMs, screen.say.value, told).map(([name, text]) => (
          <Fact key={name} name={name} text={text} />
        ))}
      </dl>
      <ShowInCurve view={screen.view} at={deviation.raised_at} name={words.name(n)} />
    </div>
  );
}

function Fact({ name, text }: { name: string; text: string }): JSX.Element {
  return <><dt class="soft">{name}</dt><dd>{text}</dd></>;
}

function placeOf({ phase, pitcher, vessel }: Alarm): string[] {
  return [
    phase === null ? null : words.where.phase(phaseName(phase)),
    pitcher === null ? null : words.where.pitcher(pitcher),
    vessel === null ? null : words.where.vessel(vessel),
  ].filter((place) => place !== null);
}
