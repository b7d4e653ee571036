import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { PourDay } from "../types.ts";
import { page, pourDays as words } from "../words.ts";
import "./pour_day.css";

/** Every pour day, newest first. */
export function PourDaysPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const [days, setDays] = useState<PourDay[] | null>(null);
  const connection = workshop.connection.value;
  useEffect(() => {
    void workshop.complaints.watch(async () => {
      setDays(await workshop.outside.service.pourDays());
    });
  }, [workshop, connection]);
  return (
    <>
      <h1>{words.title}</h1>
      <p>{words.what}</p>
      <p><a class="press" href={links.newPourDay}>{words.plan}</a></p>
      {days === null ? <p>{page.loading}</p> : null}
      {days?.length === 0 ? <p class="panel">{words.none}</p> : null}
      <ul class="days">
        {(days ?? []).map((day) => <li key={day.id}><Day workshop={workshop} day={day} /></li>)}
      </ul>
    </>
  );
}

function Day({ workshop, day }: { workshop: WorkshopModel; day: PourDay }): JSX.Element {
  const { wall, preferences } = workshop;
  const made = day.lots.filter(({ lot }) => lot !== null).length;
  return (
    <a class="panel" href={links.pourDay(day.id)}>
      <strong>{words.one(wall.value.day(day.planned_at))}</strong>
      <span>{words.lots(day.lots.length, made)}</span>
      <span>{[...new Set(day.lots.map(({ recipe }) => recipe))].join(", ")}</span>
      <span class="soft">{preferences.told(day.pot.message)}</span>
    </a>
  );
}
