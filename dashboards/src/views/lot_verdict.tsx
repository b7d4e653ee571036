import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { LotModel } from "../models/lot.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Lot, Verdict } from "../types.ts";
import { verdict as words } from "../words.ts";
import "./lot_verdict.css";
import { Sign } from "./sign.tsx";

const LONGEST = 1000;

interface VerdictProps {
  workshop: WorkshopModel;
  model: LotModel;
  lot: Lot;
}

/** Whether a closed lot was a good one, as a person says; she may change her mind. */
export function LotVerdict({ workshop, model, lot }: VerdictProps): JSX.Element | null {
  const said = lot.verdict ?? null;
  const [note, write] = useState(said?.note ?? "");
  const [saying, say] = useState<boolean | null>(null);
  if (lot.state !== "closed") return null;
  const judge = (good: boolean): void => {
    if (saying === good) return; // a second press of the same is a slip, of the other a change of mind
    say(good);
    void model.judge(good, note.trim()).finally(() => say(null));
  };
  return (
    <section class="panel lot-verdict" aria-label={words.title}>
      <h2>{words.question}</h2>
      <p role="status"><Said wall={workshop.wall.value} said={said} /></p>
      <label>
        {words.note}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} value={note}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
      <div class="verdicts">
        {[true, false].map((good) => (
          <button
            key={String(good)} type="button" aria-pressed={said?.good === good}
            aria-disabled={saying === good} onClick={() => judge(good)}
          >
            {said?.good === good ? <Sign name="check" /> : null} {good ? words.good : words.bad}
          </button>
        ))}
      </div>
      <p class="soft">{words.what}</p>
    </section>
  );
}

function Said({ wall, said }: { wall: WallTime; said: Verdict | null }): JSX.Element {
  if (said === null) return <>{words.none}</>;
  const when = words.said(wall.day(said.at), wall.minute(said.at));
  return (
    <>
      <strong>{said.good ? words.good : words.bad}</strong>, {when}
      {said.note === "" ? null : <>: “{said.note}”</>}
    </>
  );
}
