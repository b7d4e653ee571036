import type { JSX } from "preact";
import type { AlarmStory } from "../models/alarm_history.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { LogEntry } from "../types.ts";
import { alarmHistory as words, alarms as alarmWords } from "../words.ts";
import { Sign } from "./sign.tsx";

interface StoryProps {
  workshop: WorkshopModel;
  story: AlarmStory;
}

/** One alarm from its raising on, a line for each thing that became of it. */
export function AlarmStoryItem({ workshop, story }: StoryProps): JSX.Element {
  const { priority, bench, lot, steps } = story;
  return (
    <article>
      <p class="facts">
        <Sign name={priority ?? "dash"} />
        {priority === null ? null : <strong>{alarmWords.priority[priority]}</strong>}
        <span>{words.rules[story.rule] ?? story.rule}</span>
        {bench === null ? null : <span>{words.bench} {bench}</span>}
        {lot === null
          ? <span>{words.betweenLots}</span>
          : <a href={links.lot(lot)}>{words.lot(lot)}</a>}
      </p>
      <ol class="story-steps">
        {steps.map((step) => (
          <li key={`${step.at} ${step.event}`}><Step workshop={workshop} step={step} /></li>
        ))}
      </ol>
    </article>
  );
}

function Step({ workshop, step }: { workshop: WorkshopModel; step: LogEntry }): JSX.Element {
  const wall = workshop.wall.value;
  return (
    <>
      <span class="soft digits">{wall.day(step.at)}, {wall.time(step.at)}</span>
      <strong>{words.steps[step.event] ?? step.event}</strong>
      <span>{textOf(workshop, step)}</span>
    </>
  );
}

/** What the service says is told in the person's units; what a person wrote stays. */
const SAID_BY_THE_SERVICE: ReadonlySet<string> = new Set(["raised", "cleared"]);

function textOf({ preferences, wall }: WorkshopModel, { event, text, until }: LogEntry): string {
  const said = SAID_BY_THE_SERVICE.has(event) ? preferences.told(text) : text;
  if (until === null) return said;
  return words.until(wall.value.time(until), said);
}
