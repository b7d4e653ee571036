import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { lineWords } from "../models/calibration_words.ts";
import type { InstrumentScreenModel } from "../models/instrument_screen.ts";
import { fine, text } from "../models/quantities.ts";
import type { CalibrationKept, InstrumentInFull } from "../types.ts";
import { calibration as words } from "../words.ts";

const LONGEST = 1000;

interface HistoryProps {
  screen: InstrumentScreenModel;
  full: InstrumentInFull;
}

/** Every calibration so far, the latest first, and the way to withdraw the one in force. */
export function CalibrationHistory({ screen, full }: HistoryProps): JSX.Element | null {
  if (full.calibrations.length === 0) return null;
  const { workshop } = screen;
  return (
    <>
      {full.calibration === null || full.not_now !== null ? null : <Withdraw screen={screen} />}
      <h3>{words.history}</h3>
      <ul class="history">
        {full.calibrations.map((entry) => (
          <li key={entry.at}>
            <span class="digits">
              {workshop.wall.value.day(entry.at)} {workshop.wall.value.minute(entry.at)}
            </span>{" · "}
            <span>{entryWords(entry, screen, full)}</span>
            {entry.note === "" ? null : <span class="soft"> “{entry.note}”</span>}
          </li>
        ))}
      </ul>
    </>
  );
}

function entryWords(
  entry: CalibrationKept, { workshop }: InstrumentScreenModel, { role }: InstrumentInFull,
): string {
  if (entry.line === null) return words.withdrawn;
  const display = workshop.preferences.display.value;
  const points = entry.points.map(({ of, reference }) =>
    `${of} ${text(fine(reference, role, display))}`.trim());
  return `${lineWords(entry.line, role, display)} (${points.join(", ")})`;
}

/** Asks once more: a correction that is gone is missed only when it is too late. */
function Withdraw({ screen }: { screen: InstrumentScreenModel }): JSX.Element {
  const [asked, ask] = useState(false);
  const [note, write] = useState("");
  if (!asked) {
    return <button type="button" onClick={() => ask(true)}>{words.withdraw}</button>;
  }
  const submit = (event: Event): void => {
    event.preventDefault();
    void screen.withdraw(note.trim()).finally(() => ask(false));
  };
  return (
    <form class="withdraw" noValidate onSubmit={submit} aria-label={words.withdraw}>
      <p>{words.withdrawHint}</p>
      <label class="field">
        {words.why}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} value={note}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
      <div class="leave">
        <button type="submit">{words.reallyWithdraw}</button>
        <button type="button" onClick={() => ask(false)}>{words.cancel}</button>
      </div>
    </form>
  );
}
