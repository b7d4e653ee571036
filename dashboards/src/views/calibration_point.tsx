import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { DraftPoint, Source } from "../models/calibration_draft.ts";
import { fine, text } from "../models/quantities.ts";
import { TO_METRIC, UNIT_NAMES, typedNumber, unitFor } from "../models/typed_value.ts";
import { calibration as words } from "../words.ts";
import type { StepProps } from "./calibration_step.ts";
import { LiveValue } from "./live_value.tsx";
import { Sign } from "./sign.tsx";

const TYPED: ReadonlySet<Source> = new Set<Source>(["reference", "mass"]);

interface PointProps extends StepProps {
  point: DraftPoint;
  index: number;
}

/** One point: how it is made, what the instrument shows there, and the button that takes it. */
export function CalibrationPoint(props: PointProps): JSX.Element {
  const { workshop, full, draft, point, index } = props;
  const display = workshop.preferences.display.value;
  const title = words.point(index + 1, draft.points.length, words.sources[point.source]);
  return (
    <>
      <h2 tabIndex={-1}>{title}</h2>
      {point.reference === null || TYPED.has(point.source)
        ? null
        : <p><strong>{words.known(text(fine(point.reference, full.role, display)))}</strong></p>}
      <ol class="how">{words.how[point.source].map((line) => <li key={line}>{line}</li>)}</ol>
      {words.cautions[point.source] === "" ? null : (
        <aside class="heed" aria-label={words.cautionTitle}>
          <Sign name="medium" /> <p>{words.cautions[point.source]}</p>
        </aside>
      )}
      <TakeForm {...props} />
    </>
  );
}

/** The known value where a person has to type it, the shown value, and the button. */
function TakeForm({ workshop, full, walk, point }: PointProps): JSX.Element {
  const [known, writeKnown] = useState("");
  const [shown, writeShown] = useState("");
  const unit = unitFor(full.role, workshop.preferences.display.value);
  const manual = full.kind === "manual";
  const metric = (typed: string): number | null => {
    const number = typedNumber(typed);
    return number === null ? null : thousandth(TO_METRIC[unit](number));
  };
  const reference = TYPED.has(point.source) ? metric(known) : point.reference;
  const take = (value: number | null): void => {
    if (value !== null && reference !== null) void walk.take(value, reference);
  };
  return (
    <form class="take" noValidate onSubmit={(event) => event.preventDefault()}>
      {TYPED.has(point.source) ? (
        <Field
          label={words.inUnit(words.knownOf[point.source], UNIT_NAMES[unit])}
          value={known} write={writeKnown}
        />
      ) : null}
      {manual ? (
        <>
          <Field
            label={words.typeShown(full.name, UNIT_NAMES[unit])} value={shown} write={writeShown}
          />
          <button
            type="submit" class="main" disabled={metric(shown) === null || reference === null}
            onClick={() => take(metric(shown))}
          >
            {words.takeNothing}
          </button>
        </>
      ) : (
        <LiveValue
          workshop={workshop} full={full} walk={walk} ready={reference !== null} take={take}
        />
      )}
    </form>
  );
}

function thousandth(value: number): number {
  return Math.round(value * 1000) / 1000;
}

interface FieldProps {
  label: string;
  value: string;
  write: (text: string) => void;
}

function Field({ label, value, write }: FieldProps): JSX.Element {
  return (
    <label class="field">
      {label}
      <input
        inputMode="decimal" autoComplete="off" value={value}
        onInput={(event) => write(event.currentTarget.value)}
      />
    </label>
  );
}
