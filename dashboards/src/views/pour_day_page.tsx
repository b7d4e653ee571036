import { useEffect, useMemo, useState } from "preact/hooks";
import type { JSX } from "preact";
import { PourDayModel } from "../models/pour_day.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Router } from "../router.ts";
import { page, pourDays as words } from "../words.ts";
import "./pour_day.css";
import { PourDayLots } from "./pour_day_lots.tsx";
import { PourDayPot } from "./pour_day_pot.tsx";
import { PourDaySheet } from "./pour_day_sheet.tsx";

interface PourDayProps {
  workshop: WorkshopModel;
  router: Router;
  /** Null for one that is still to be planned. */
  id: string | null;
}

/** A pour day: its lots in order, its pot, and what to weigh. */
export function PourDayPage({ workshop, router, id }: PourDayProps): JSX.Element {
  const model = usePourDay(workshop, router, id);
  const [kept, setKept] = useState(false);
  const draft = model.draft.value;
  if (model.missing.value) return <NoSuchDay />;
  if (draft === null) return <p class="panel">{page.loading}</p>;
  const keep = async (): Promise<void> => {
    const day = await model.keep();
    if (day === null) return;
    if (id === null) router.go(links.pourDay(day));
    else setKept(true);
  };
  const shown = model.shown.value;
  const title = id === null || shown === null
    ? words.plan
    : words.one(workshop.wall.value.day(shown.planned_at));
  return (
    <form
      class="pour-day" aria-label={title} onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <h1>{title}</h1>
      <PourDayLots workshop={workshop} model={model} draft={draft} />
      <PourDayPot workshop={workshop} model={model} draft={draft} />
      {shown === null ? null : <PourDaySheet workshop={workshop} day={shown} />}
      <div class="day-keeping">
        <button type="submit" class="does" disabled={draft.plan() === null || model.busy.value}>
          {words.keep}
        </button>
        <p role="status">{kept && !model.dirty.value ? words.kept : ""}</p>
      </div>
    </form>
  );
}

function NoSuchDay(): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.missing}</h1>
      <p><a href={links.pourDays}>{words.title}</a></p>
    </div>
  );
}

function usePourDay(workshop: WorkshopModel, router: Router, id: string | null): PourDayModel {
  const model = useMemo(
    () => new PourDayModel(
      id, workshop.outside.service, workshop.complaints, () => workshop.preferences.display.peek(),
    ), [workshop, id],
  );
  const connection = workshop.connection.value;
  useEffect(() => model.follow(), [model]);
  useEffect(() => {
    if (model.draft.peek() === null) void model.load(); // what is being planned stays
  }, [model, connection]);
  useEffect(() => router.guard(model.dirty, words.leave), [model, router]);
  return model;
}
