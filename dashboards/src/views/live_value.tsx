import { useComputed } from "@preact/signals";
import type { JSX } from "preact";
import type { CalibrationWalkModel } from "../models/calibration_walk.ts";
import { fine, text } from "../models/quantities.ts";
import type { Steadiness } from "../models/steadiness.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { InstrumentInFull } from "../types.ts";
import { calibration as words } from "../words.ts";
import { Chip, ReadingChip } from "./figure.tsx";

interface LiveProps {
  workshop: WorkshopModel;
  full: InstrumentInFull;
  walk: CalibrationWalkModel;
  /** Whether the known value is there. */
  ready: boolean;
  take: (value: number | null) => void;
}

/** What the instrument shows now, whether it stands still, and the button that takes it. */
export function LiveValue({ workshop, full, walk, ready, take }: LiveProps): JSX.Element {
  const steady = walk.steadiness.value;
  const display = workshop.preferences.display.value;
  const latest = workshop.instruments.latest(full.name);
  const doubtful = latest !== null && workshop.instruments.isStale(latest);
  const shown = steady.latest === null ? null : fine(steady.latest, full.role, display);
  const still = steady.kind === "steady" && !doubtful;
  const value = steady.value === null ? null : text(fine(steady.value, full.role, display));
  return (
    <>
      <div class="live" aria-label={words.live} role="group">
        <p class="soft">{words.liveInFull}</p>
        <p class={`instrument-value digits${doubtful ? " doubtful" : ""}`}>
          {shown === null ? words.nothing : shown.digits}
          {shown === null ? null : <span class="unit"> {shown.unit}</span>}
        </p>
        {doubtful && latest !== null
          ? (
            <ReadingChip
              latest={latest} instruments={workshop.instruments} wall={workshop.wall.value}
            />
          )
          : <Standing walk={walk} />}
      </div>
      {ready ? null : <p>{words.typeKnown}</p>}
      <button
        type="submit" class="main" disabled={!still || !ready} onClick={() => take(steady.value)}
      >
        {still && value !== null ? words.take(value) : words.takeNothing}
      </button>
      {still ? null : (
        <button
          type="button" disabled={steady.latest === null || doubtful || !ready}
          onClick={() => take(steady.latest)}
        >
          {words.anyway}
        </button>
      )}
    </>
  );
}

/** Whether the display stands still; read out when it does, and not every second. */
function Standing({ walk }: { walk: CalibrationWalkModel }): JSX.Element {
  const steady = walk.steadiness.value;
  const said = useComputed(() =>
    walk.steadiness.value.kind === "steady" ? words.steady(walk.steadiness.value.needS) : "").value;
  return (
    <>
      <Chip
        kind="calm" sign={steady.kind === "steady" ? "check" : "dash"} text={sayStanding(steady)}
      />
      <progress
        max={steady.needS} value={Math.min(steady.forS, steady.needS)} aria-label={words.live}
      />
      <p class="unseen" role="status">{said}</p>
    </>
  );
}

function sayStanding({ kind, forS, needS }: Steadiness): string {
  switch (kind) {
    case "waiting": return words.waiting;
    case "moving": return words.moving(Math.floor(forS), needS);
    case "steady": return words.steady(needS);
  }
}
