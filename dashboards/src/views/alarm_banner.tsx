import { useLayoutEffect, useRef } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";
import { sortAlarms, wantsAcknowledging } from "../models/alarms.ts";
import type { SortedAlarms } from "../models/alarms.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";
import "./alarm_banner.css";
import { AlarmCard } from "./alarm_card.tsx";
import { onFreeKey } from "./free_keys.ts";

const OTHERS = "other-alarms";
/** One that pushes in before another was not what the key was pressed for; milliseconds. */
const CALM_MS = 700;

interface BannerProps {
  workshop: WorkshopModel;
  bench: string;
}

/** The most pressing alarm of this bench, above everything else for as long as it lasts. */
export function AlarmBanner({ workshop, bench }: BannerProps): JSX.Element | null {
  const { banner, others, over } = sortedAt(workshop, bench);
  const first = banner[0]?.id ?? null;
  const place = useRef<{ first: string | null; since: number }>({ first: null, since: 0 });
  useLayoutEffect(() => {
    const overtaken = place.current.first !== null && first !== null;
    place.current = { first, since: overtaken ? performance.now() : 0 };
  }, [first]);
  useLayoutEffect(() => onFreeKey(["a", "A"], () => {
    const pressing = alarmsAt(workshop, bench)[0];
    if (pressing === undefined || !wantsAcknowledging(pressing)) return;
    const { since } = place.current;
    if (since > 0 && performance.now() - since < CALM_MS) return;
    void workshop.alarms.acknowledge(pressing);
  }), [workshop, bench]);
  if (banner.length === 0) return null;
  return (
    <section class="alarms" aria-label={words.title}>
      {banner.map((alarm, n) => (
        <AlarmCard
          key={alarm.id} workshop={workshop} alarm={alarm} place="banner" showsKey={n === 0}
          more={n === 0 ? <ToOthers active={others.length} over={over.length} /> : null}
        />
      ))}
    </section>
  );
}

function ToOthers({ active, over }: { active: number; over: number }): JSX.Element | null {
  if (active + over === 0) return null;
  const text = active > 0 ? words.more(active) : words.over(over);
  return <a class="to-others" href={`#${OTHERS}`}>{text}</a>;
}

/** The alarms that are not in the banner, below the digits so that they never push them away. */
export function OtherAlarms({ workshop, bench }: BannerProps): JSX.Element | null {
  const { others, held, over, quiet } = sortedAt(workshop, bench);
  if (others.length + held.length + over.length + quiet.length === 0) return null;
  return (
    <section class="alarms" id={OTHERS} aria-label={words.others}>
      <AlarmList workshop={workshop} place="others" alarms={others} open />
      <AlarmList workshop={workshop} place="held" alarms={held} open />
      <AlarmList workshop={workshop} place="over" alarms={over} open={false}>
        <SeenAll workshop={workshop} alarms={over} />
      </AlarmList>
      <AlarmList workshop={workshop} place="quiet" alarms={quiet} open={false} />
    </section>
  );
}

const TITLES = {
  others: words.more, held: words.held, over: words.over, quiet: words.quiet,
} as const;

interface ListProps {
  workshop: WorkshopModel;
  place: keyof typeof TITLES;
  alarms: Alarm[];
  open: boolean;
  children?: ComponentChildren;
}

function AlarmList(props: ListProps): JSX.Element | null {
  if (props.alarms.length === 0) return null;
  return (
    <details class="more-alarms" open={props.open}>
      <summary>{TITLES[props.place](props.alarms.length)}</summary>
      {props.children}
      <ul>
        {props.alarms.map((alarm) => (
          <li key={alarm.id}>
            <AlarmCard
              workshop={props.workshop} alarm={alarm} place={props.place} showsKey={false}
            />
          </li>
        ))}
      </ul>
    </details>
  );
}

function SeenAll({ workshop, alarms }: Pick<ListProps, "workshop" | "alarms">): JSX.Element | null {
  if (alarms.length < 2) return null;
  const acknowledgeAll = async (): Promise<void> => {
    for (const alarm of alarms) await workshop.alarms.acknowledge(alarm);
  };
  return (
    <button type="button" class="seen-all" onClick={() => void acknowledgeAll()}>
      {words.acknowledgeAll(alarms.length)}
    </button>
  );
}

function sortedAt(workshop: WorkshopModel, bench: string): SortedAlarms {
  return sortAlarms(alarmsAt(workshop, bench), workshop.alarms.writing.value);
}

function alarmsAt(workshop: WorkshopModel, bench: string): Alarm[] {
  const current = workshop.alarms.current.value;
  return current.filter((alarm) => alarm.bench === bench || alarm.bench === null);
}
