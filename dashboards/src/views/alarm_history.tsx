import { useComputed } from "@preact/signals";
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { JSX } from "preact";
import { AlarmHistoryModel, matching, storiesOf } from "../models/alarm_history.ts";
import type { AlarmStory } from "../models/alarm_history.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Place } from "../places.ts";
import type { Router } from "../router.ts";
import { alarmHistory as words, page } from "../words.ts";
import { AlarmFiguresPanel } from "./alarm_figures_panel.tsx";
import { AlarmFilters } from "./alarm_filters.tsx";
import "./alarm_history.css";
import { AlarmStoryItem } from "./alarm_story_item.tsx";

interface HistoryProps {
  workshop: WorkshopModel;
  router: Router;
  place: Extract<Place, { page: "alarms" }>;
}

const DAY_MS = 86_400_000;
const MINUTE_MS = 60_000;

/** What became of the alarms of a stretch of time, narrowed by what stands in the address. */
export function AlarmHistory({ workshop, router, place }: HistoryProps): JSX.Element {
  const model = useMemo(
    () => new AlarmHistoryModel(workshop.outside.service, workshop.complaints), [workshop],
  );
  const latest = useRef(0);
  const minute = useComputed(() => nextMinute(workshop.clock.second.value)).value;
  const set = minute < latest.current - MINUTE_MS;
  latest.current = set ? minute : Math.max(latest.current, minute); // a little back asks nobody anew
  const said = Date.parse(place.until ?? "");
  const to = Number.isNaN(said) ? latest.current : said;
  const from = to - place.days * DAY_MS;
  const changes = workshop.alarms.changes.value;
  useEffect(() => void model.load(from, to), [model, from, to, changes]);
  const entries = model.entries.value;
  const stories = useMemo(() => storiesOf(entries ?? []), [entries]);
  const shown = matching(stories, place.filter);
  return (
    <section class="alarm-history" aria-label={words.history}>
      <h2>{words.history}</h2>
      <AlarmFilters
        workshop={workshop} router={router} place={place} stories={stories} from={from} to={to}
      />
      {entries === null ? <p class="panel">{page.loading}</p> : null}
      {entries === null || shown.length > 0
        ? null
        : <p class="panel">{stories.length === 0 ? words.none : words.noMatch}</p>}
      <StoryList workshop={workshop} stories={shown} />
      <AlarmFiguresPanel figures={model.figures.value} />
    </section>
  );
}

function StoryList(props: { workshop: WorkshopModel; stories: AlarmStory[] }): JSX.Element {
  return (
    <ol class="stories">
      {props.stories.map((story) => (
        <li key={story.key} class="panel">
          <AlarmStoryItem workshop={props.workshop} story={story} />
        </li>
      ))}
    </ol>
  );
}

/** The next full minute after some seconds, epoch milliseconds. */
function nextMinute(second: number): number {
  return (Math.floor(second * 1000 / MINUTE_MS) + 1) * MINUTE_MS;
}
