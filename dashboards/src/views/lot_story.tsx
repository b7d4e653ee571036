import type { JSX } from "preact";
import { storyOf } from "../models/story.ts";
import { unbroken } from "../models/unbroken.ts";
import { story as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import "./lot_story.css";
import { Sign } from "./sign.tsx";

/** The lot in sentences, for somebody who was not there. */
export function LotStory({ workshop, screen, model, lot }: LotPanelProps): JSX.Element {
  const { preferences } = workshop;
  const paragraphs = storyOf(
    lot, model.measured.value ?? [], screen.say.value, (text) => preferences.told(text),
  );
  return (
    <section class="panel wide lot-story" aria-label={words.title}>
      <h2>{words.title}</h2>
      {paragraphs.filter(({ text }) => text !== "").map(({ text, off }) => (
        <p key={text} class={off ? "off" : undefined}>
          {off ? <Sign name="medium" /> : null}
          <span>{unbroken(text)}</span>
        </p>
      ))}
    </section>
  );
}
