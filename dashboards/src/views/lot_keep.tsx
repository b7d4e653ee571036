import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { keeping as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import "./lot_keep.css";
import { Sign } from "./sign.tsx";

const LONGEST = 1000;

/** Whether the lot's readings stay for good, as a person says. */
export function LotKeep({ model, lot }: LotPanelProps): JSX.Element {
  const [note, write] = useState("");
  const [busy, setBusy] = useState(false);
  const say = (): void => {
    if (busy) return;
    setBusy(true);
    void model.keep(!lot.kept, note.trim()).finally(() => {
      setBusy(false);
      write("");
    });
  };
  return (
    <section class="panel lot-keep" aria-label={words.title}>
      <h2>{words.title}</h2>
      <p role="status">
        {lot.kept ? <Sign name="check" /> : null} {lot.kept ? words.kept : words.released}
      </p>
      <label>
        {words.note}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} value={note}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
      <button type="button" aria-disabled={busy} onClick={say}>
        {lot.kept ? words.release : words.keep}
      </button>
    </section>
  );
}
