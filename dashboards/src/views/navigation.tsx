import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Place } from "../places.ts";
import { alarmHistory, attention, bench, health, lots, page as words, pourDays } from "../words.ts";

interface NavigationProps {
  workshop: WorkshopModel;
  place: Place;
}

interface Goal {
  name: string;
  link: string;
  /** The pages that count as being there. */
  pages: readonly Place["page"][];
}

/** What is wanted during a pour stands by itself, everything else one press further. */
const ALL_BENCHES: Goal = { name: bench.all, link: links.benches, pages: ["benches"] };
const FIRST: readonly Goal[] = [
  { name: lots.title, link: links.lots, pages: ["lots", "lot"] },
  { name: pourDays.title, link: links.pourDays, pages: ["pour days", "pour day"] },
];
const MORE: readonly Goal[] = [
  { name: alarmHistory.title, link: links.alarms, pages: ["alarms"] },
  { name: health.title, link: links.health, pages: ["health"] },
  { name: attention.title, link: links.screen, pages: ["screen"] },
];

export function Navigation({ workshop, place }: NavigationProps): JSX.Element {
  const benches = workshop.info.value?.benches ?? [];
  const here = place.page === "bench" ? workshop.benchNamed(place.bench) : null;
  return (
    <nav aria-label={words.navigation}>
      {benches.map((name) => (
        <a key={name} href={links.bench(name)} aria-current={name === here ? "page" : undefined}>
          {benches.length === 1 ? words.bench : `${words.bench} ${name}`}
        </a>
      ))}
      {benches.length < 2 ? null : <GoalLink goal={ALL_BENCHES} place={place} />}
      {FIRST.map((goal) => <GoalLink key={goal.link} goal={goal} place={place} />)}
      <details class="more-pages" key={place.page}>
        <summary aria-current={isAmong(MORE, place) ? "true" : undefined}>{words.more}</summary>
        <div>{MORE.map((goal) => <GoalLink key={goal.link} goal={goal} place={place} />)}</div>
      </details>
    </nav>
  );
}

function GoalLink({ goal, place }: { goal: Goal; place: Place }): JSX.Element {
  const current = goal.pages.includes(place.page);
  return <a href={goal.link} aria-current={current ? "page" : undefined}>{goal.name}</a>;
}

function isAmong(goals: readonly Goal[], place: Place): boolean {
  return goals.some(({ pages }) => pages.includes(place.page));
}
