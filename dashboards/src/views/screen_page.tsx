import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { AttentionModel } from "../models/attention.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { attention as words } from "../words.ts";
import { ChoiceBox } from "./choice_box.tsx";
import { FootSwitchPanel } from "./foot_switch_panel.tsx";
import "./screen_page.css";
import { UnitChoice } from "./unit_choice.tsx";

/** How this browser reaches its person, and how she reads and presses. */
export function ScreenPage({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const { attention } = workshop;
  return (
    <>
      <h1>{words.title}</h1>
      <p class="soft">{words.what}</p>
      <div class="screen-panels">
        <SoundPanel attention={attention} />
        <VoicePanel attention={attention} />
        <BuzzPanel attention={attention} />
        <LightPanel attention={attention} />
        <section class="panel" aria-label={words.unitsTitle}>
          <h2>{words.unitsTitle}</h2>
          <UnitChoice preferences={workshop.preferences} />
        </section>
        <FootSwitchPanel footSwitch={workshop.footSwitch} />
      </div>
    </>
  );
}

function SoundPanel({ attention }: { attention: AttentionModel }): JSX.Element {
  const [tested, test] = useState(false);
  const sound = attention.sound.value;
  const tryIt = (): void => {
    attention.senses.chime("high");
    test(true);
  };
  return (
    <section class="panel" aria-label={words.soundTitle}>
      <h2>{words.soundTitle}</h2>
      <p role="status">{words.about[sound]}</p>
      <div class="presses">
        {sound === "on"
          ? <button type="button" onClick={() => attention.disarm()}>{words.disarm}</button>
          : <button type="button" onClick={() => void attention.arm()}>{words.arm}</button>}
        {sound === "on" ? <button type="button" onClick={tryIt}>{words.test}</button> : null}
      </div>
      {tested ? <p role="status">{words.tested}</p> : null}
    </section>
  );
}

function VoicePanel({ attention }: { attention: AttentionModel }): JSX.Element {
  return (
    <section class="panel" aria-label={words.voiceTitle}>
      <h2>{words.voiceTitle}</h2>
      {attention.senses.canSpeak
        ? <ChoiceBox choice={attention.wishes.voice} label={words.voice} />
        : <p>{words.noVoice}</p>}
    </section>
  );
}

function BuzzPanel({ attention }: { attention: AttentionModel }): JSX.Element {
  return (
    <section class="panel" aria-label={words.buzzTitle}>
      <h2>{words.buzzTitle}</h2>
      {attention.senses.canBuzz
        ? <ChoiceBox choice={attention.wishes.buzz} label={words.buzz} />
        : <p>{words.noBuzz}</p>}
    </section>
  );
}

function LightPanel({ attention }: { attention: AttentionModel }): JSX.Element {
  const { canStayLit, lit } = attention.senses;
  return (
    <section class="panel" aria-label={words.litTitle}>
      <h2>{words.litTitle}</h2>
      {canStayLit ? <ChoiceBox choice={attention.wishes.lit} label={words.lit} /> : null}
      <p role="status">{canStayLit ? (lit.value ? words.isLit : words.notLit) : words.noLit}</p>
    </section>
  );
}
