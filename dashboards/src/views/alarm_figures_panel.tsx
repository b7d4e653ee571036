import type { JSX } from "preact";
import { duration } from "../models/quantities.ts";
import type { AlarmFigures } from "../types.ts";
import { alarmHistory as words } from "../words.ts";
import { Sign } from "./sign.tsx";

/** The alarms of the stretch in numbers, beside what is published as bearable. */
export function AlarmFiguresPanel(props: { figures: AlarmFigures | null }): JSX.Element | null {
  const { figures } = props;
  if (figures === null || figures.alarms === 0) return null;
  const { median_seconds: median, never } = figures.answers;
  return (
    <section class="panel alarm-figures" aria-label={words.figures}>
      <h3>{words.figures}</h3>
      <dl>
        <Fact name={words.title} value={String(figures.alarms)} />
        <Fact name={words.worstHour} value={String(figures.worst_hour.alarms)} />
        <Fact name={words.worstTen} value={String(figures.worst_ten_minutes.alarms)} />
        {median === null ? null : <Fact name={words.seenAfter} value={duration(median)} />}
        <Fact name={words.neverSeen} value={String(never)} />
      </dl>
      <h3>{words.targets}</h3>
      <ul class="targets">
        {figures.targets.map(({ what, found, target, met, source }) => (
          <li key={what}>
            <Sign name={met ? "check" : "medium"} />
            <span>
              {what}: {words.found(String(found), String(target))}
              {" "}({met ? words.met : words.missed}) <small class="soft">{source}</small>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Fact({ name, value }: { name: string; value: string }): JSX.Element {
  return <div><dt>{name}</dt><dd class="digits">{value}</dd></div>;
}
