import type { JSX } from "preact";
import type { AlarmsModel } from "../models/alarms.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Place } from "../places.ts";
import type { Router } from "../router.ts";
import { alarmHistory as words } from "../words.ts";
import { AlarmCard } from "./alarm_card.tsx";
import { AlarmHistory } from "./alarm_history.tsx";

interface AlarmsPageProps {
  workshop: WorkshopModel;
  router: Router;
  place: Extract<Place, { page: "alarms" }>;
}

/** What is wrong now at any bench, and what was. */
export function AlarmsPage({ workshop, router, place }: AlarmsPageProps): JSX.Element {
  return (
    <>
      <h1>{words.title}</h1>
      <CurrentAlarms workshop={workshop} alarms={workshop.alarms} />
      <AlarmHistory workshop={workshop} router={router} place={place} />
    </>
  );
}

interface CurrentProps {
  workshop: WorkshopModel;
  alarms: AlarmsModel;
}

function CurrentAlarms({ workshop, alarms }: CurrentProps): JSX.Element {
  const current = alarms.current.value;
  return (
    <section class="alarms" aria-label={words.now}>
      <h2>{words.now}</h2>
      {current.length === 0 ? <p class="panel">{words.noneNow}</p> : null}
      {current.map((alarm) => (
        <AlarmCard
          key={alarm.id} workshop={workshop} alarm={alarm} place="others" showsKey={false}
        />
      ))}
    </section>
  );
}
