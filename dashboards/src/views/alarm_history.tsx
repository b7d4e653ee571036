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
  const latest = useRef(0); // time that is set back a little asks nobody anew
  const to = place.until === null
    ? latest.current = Math.max(latest.current, endOf(workshop, null))
    : endOf(workshop, place.until);
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

/** The end of the stretch, epoch milliseconds: what the address says, else the next full minute. */
function endOf(workshop: WorkshopModel, until: string | null): number {
  const said = Date.parse(until ?? "");
  if (!Number.isNaN(said)) return said;
  return (Math.floor(workshop.clock.second.value * 1000 / MINUTE_MS) + 1) * MINUTE_MS;
}
