import type { JSX } from "preact";
import type { AlarmStory } from "../models/alarm_history.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Place } from "../places.ts";
import type { Router } from "../router.ts";
import { alarmHistory as words, alarms as alarmWords } from "../words.ts";
import "./filters.css";
import { Pick } from "./pick.tsx";

interface FiltersProps {
  workshop: WorkshopModel;
  router: Router;
  place: Extract<Place, { page: "alarms" }>;
  /** Every alarm of the stretch, of which the choices are made. */
  stories: AlarmStory[];
  /** The stretch, epoch milliseconds. */
  from: number;
  to: number;
}

const SPANS = [1, 7, 30] as const;

/** Which alarms to show; all of it stands in the address, so that a list can be found again. */
export function AlarmFilters(props: FiltersProps): JSX.Element {
  const { workshop, router, place: { filter, days }, stories } = props;
  const priority = (name: string): string =>
    name in alarmWords.priority
      ? alarmWords.priority[name as keyof typeof alarmWords.priority]
      : name;
  const rules = stories.map(({ rule }) => rule).sort();
  return (
    <form class="filters panel" onSubmit={(event) => event.preventDefault()}>
      <Pick
        label={words.bench} any={words.any} now={filter.bench} known={workshop.info.value?.benches ?? []}
        pick={(bench) => router.refine({ bench })}
      />
      <Pick
        label={words.rule} any={words.any} now={filter.rule} known={rules}
        name={(rule) => words.rules[rule] ?? rule} pick={(rule) => router.refine({ rule })}
      />
      <Pick
        label={words.priority} any={words.any} now={filter.priority}
        known={["high", "medium", "low"]}
        name={priority} pick={(chosen) => router.refine({ priority: chosen })}
      />
      <label>
        {words.span}
        <select
          value={days} onChange={(event) => router.refine({ days: event.currentTarget.value })}
        >
          {[...new Set([...SPANS, days])].map((n) => (
            <option key={n} value={n}>{words.days(n)}</option>
          ))}
        </select>
      </label>
      <Turning {...props} />
    </form>
  );
}

/** Earlier and later stretches of the same length. */
function Turning({ workshop, router, place, from, to }: FiltersProps): JSX.Element {
  const wall = workshop.wall.value;
  const at = (ms: number): string => `${wall.day(ms)}, ${wall.minute(ms)}`;
  const until = (ms: number | null): void =>
    router.refine({ until: ms === null ? null : new Date(ms).toISOString() });
  const later = to + (to - from);
  const now = workshop.clock.now.peek();
  return (
    <div class="turning">
      <p>{words.from(at(from), at(to))}</p>
      <button type="button" onClick={() => until(from)}>{words.earlier}</button>
      {place.until === null ? null : (
        <button type="button" onClick={() => until(later < now ? later : null)}>
          {later < now ? words.later : words.latest}
        </button>
      )}
    </div>
  );
}
