import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { FootSwitch } from "../models/foot_switch.ts";
import { attention as words } from "../words.ts";

/** Teaches the key that a foot switch types. */
export function FootSwitchPanel({ footSwitch }: { footSwitch: FootSwitch }): JSX.Element {
  const [refused, refuse] = useState<string | null>(null);
  const learning = footSwitch.learning.value;
  useEffect(() => learning ? listen(footSwitch, refuse) : undefined, [footSwitch, learning]);
  const learn = (): void => {
    refuse(null);
    footSwitch.learning.value = true;
  };
  const key = footSwitch.key.value;
  return (
    <section class="panel" aria-label={words.footTitle}>
      <h2>{words.footTitle}</h2>
      <p class="soft">{words.foot}</p>
      <p role="status">{statusText(footSwitch, refused)}</p>
      <div class="presses">
        {learning ? (
          <button type="button" onClick={() => footSwitch.learning.value = false}>
            {words.cancel}
          </button>
        ) : <button type="button" onClick={learn}>{words.learn}</button>}
        {key === null || learning
          ? null
          : <button type="button" onClick={() => footSwitch.forget()}>{words.forget}</button>}
      </div>
    </section>
  );
}

function statusText({ learning, key }: FootSwitch, refused: string | null): string {
  if (refused !== null) return words.taken(refused);
  if (learning.value) return words.learning;
  if (key.value === null) return words.footNone;
  return words.footNow(key.value === " " ? words.space : key.value);
}

/** Takes the next key before anything else on the page does. */
function listen(footSwitch: FootSwitch, refuse: (key: string) => void): () => void {
  const take = (event: KeyboardEvent): void => {
    if (event.key === "Escape") {
      footSwitch.learning.value = false;
      return;
    }
    if (event.key === "Tab") return; // a person without a mouse must get to "Cancel"
    event.preventDefault();
    event.stopPropagation();
    if (!footSwitch.learn(event.key)) refuse(event.key);
  };
  document.addEventListener("keydown", take, { capture: true });
  return () => document.removeEventListener("keydown", take, { capture: true });
}
