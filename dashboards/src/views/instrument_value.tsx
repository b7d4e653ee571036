import type { JSX } from "preact";
import { mass, temperature } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Instrument } from "../types.ts";
import { calibration as words, instruments } from "../words.ts";
import { Digits } from "./digits.tsx";
import { Chip, ReadingChip } from "./figure.tsx";
import { INSTRUMENT_SIGNS } from "./instrument_row.tsx";

interface ValueProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

/** The present value in large digits, and what is to be said of it. */
export function InstrumentValue({ workshop, instrument }: ValueProps): JSX.Element {
  const latest = workshop.instruments.latest(instrument.name);
  const usable = latest !== null && latest.quality !== "bad";
  const display = workshop.preferences.display.value;
  const shown = usable
    ? (instrument.role === "scale" ? mass : temperature)(latest.value, display)
    : null;
  const doubtful = latest !== null && workshop.instruments.isStale(latest);
  return (
    <>
      <p class={`instrument-value digits${doubtful ? " doubtful" : ""}`}>
        {shown === null ? words.nothing : <Digits text={shown.digits} />}
        {shown === null ? null : <span class="unit"> {shown.unit}</span>}
      </p>
      {latest === null ? null : (
        <ReadingChip
          latest={latest} instruments={workshop.instruments} wall={workshop.wall.value}
        />
      )}
    </>
  );
}

/** Whether it gives readings, in words; if it does not, why, and what to do. */
export function InstrumentCondition({ workshop, instrument }: ValueProps): JSX.Element | null {
  if (instrument.kind === "manual" && instrument.last !== null) return null; // the value says it
  if (workshop.outside.feed.status.value === "lost") {
    return <div class="condition"><Chip kind="calm" sign="dash" text={instruments.unknown} /></div>;
  }
  const said = instrument.kind === "manual"
    ? instruments.typedIn
    : instruments.stateInFull[instrument.state];
  const trouble = instrument.state === "silent" || instrument.state === "lost";
  const saidAbove = trouble && instrument.last !== null; // beside the value, with its age
  const kind = trouble ? "wrong" : "calm";
  return (
    <div class="condition">
      {saidAbove ? null : (
        <Chip kind={kind} sign={INSTRUMENT_SIGNS[instrument.state]} text={said} />
      )}
      {instrument.reason === null ? null : <p>{sentence(instrument.reason)}</p>}
      {instrument.remedy === null ? null : <p><strong>{instrument.remedy}</strong></p>}
    </div>
  );
}

function sentence(text: string): string {
  const whole = text.slice(0, 1).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(whole) ? whole : `${whole}.`;
}
