import type { JSX } from "preact";
import { fine, correction, text } from "../models/quantities.ts";
import type { Display, FitShown, Role } from "../types.ts";
import { calibration as words } from "../words.ts";
import type { StepProps } from "./calibration_step.ts";
import { Sign } from "./sign.tsx";

const LONGEST = 1000;

/** What the points come to, what would change, and the button that keeps it. */
export function CalibrationResult(props: StepProps & { keep: () => void }): JSX.Element {
  const { workshop, full, walk, draft } = props;
  const fit = walk.fit.value;
  const display = workshop.preferences.display.value;
  const submit = (event: Event): void => {
    event.preventDefault();
    if (fit !== null && !walk.busy.value) props.keep();
  };
  return (
    <form noValidate onSubmit={submit}>
      <h2 tabIndex={-1}>{words.result}</h2>
      {fit === null ? null : (
        <>
          <Remarks fit={fit} />
          <Points fit={fit} role={full.role} display={display} />
          <Changes fit={fit} role={full.role} display={display} />
          <label class="field">
            {words.note}
            <input
              type="text" autoComplete="off" maxLength={LONGEST} value={draft.note}
              onInput={(event) => walk.note(event.currentTarget.value)}
            />
          </label>
          <button type="submit" class="main" disabled={walk.busy.value}>{words.keep}</button>
        </>
      )}
    </form>
  );
}

function Remarks({ fit }: { fit: FitShown }): JSX.Element {
  return (
    <ul class="remarks">
      {fit.remarks.map((remark) => (
        <li key={remark}><Sign name="low" /> {words.remarks[remark]}</li>
      ))}
    </ul>
  );
}

interface FitProps {
  fit: FitShown;
  role: Role;
  display: Display;
}

function Points({ fit, role, display }: FitProps): JSX.Element {
  const value = (each: number): string => text(fine(each, role, display));
  const step = (each: number): string => text(correction(each, role, display));
  return (
    <div class="scroll" role="group" aria-label={words.points} tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.points}</th>
            <th scope="col">{words.reference}</th>
            <th scope="col">{words.shown}</th>
            <th scope="col">{words.correction}</th>
            <th scope="col">{words.residual}</th>
          </tr>
        </thead>
        <tbody>
          {fit.points.map((point) => (
            <tr key={`${point.of} ${point.reference}`}>
              <th scope="row">{point.of}</th>
              <td class="digits">{value(point.reference)}</td>
              <td class="digits">{value(point.shown)}</td>
              <td class="digits">{step(point.corrected - point.shown)}</td>
              <td class="digits">{step(point.residual)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Changes({ fit, role, display }: FitProps): JSX.Element {
  const value = (each: number): string => text(fine(each, role, display));
  return (
    <>
      <h3>{words.changes}</h3>
      <ul class="calibration-changes">
        {fit.examples.map(({ shown, now, then }) => (
          <li key={shown} class="digits">
            {now === shown
              ? words.example(value(shown), value(then))
              : words.exampleNow(value(shown), value(then), value(now))}
          </li>
        ))}
      </ul>
      <p class="soft">{words.changesHint}</p>
    </>
  );
}
