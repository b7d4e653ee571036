import type { JSX } from "preact";
import type { AttentionModel, Sound } from "../models/attention.ts";
import { links } from "../places.ts";
import { attention as words } from "../words.ts";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";
import "./sound_button.css";

const SIGNS: Record<Sound, SignName> = { off: "mute", waiting: "mute", on: "loud" };

/** Whether alarms can be heard here; one press puts it right where they cannot. */
export function SoundButton({ attention }: { attention: AttentionModel }): JSX.Element {
  const sound = attention.sound.value;
  const text = <><Sign name={SIGNS[sound]} /> <span>{words.sound[sound]}</span></>;
  if (sound === "on") return <a class="sound" href={links.screen}>{text}</a>;
  return (
    <button type="button" class={`sound ${sound}`} onClick={() => void attention.arm()}>
      {text}
    </button>
  );
}
