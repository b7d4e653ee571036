import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { alarms as words } from "../words.ts";
import { AnswerForm } from "./answer_form.tsx";
import type { AskProps } from "./answer_form.tsx";

const MINUTES = [5, 15, 60] as const;
const LONGEST = 200;

/** Puts an alarm aside: for how long, and why. */
export function ShelveForm({ workshop, alarm, cancel }: AskProps): JSX.Element {
  const [minutes, last] = useState<number>(MINUTES[0]);
  const [reason, give] = useState("");
  const [asked, ask] = useState(false);
  const submit = (): Promise<void> => {
    const said = reason.trim();
    ask(said === "");
    return said === "" ? Promise.resolve() : workshop.alarms.shelve(alarm, minutes, said);
  };
  return (
    <AnswerForm
      label={words.shelve} does={words.shelveFor(minutes)} cancel={cancel} submit={submit}
      missing={asked && reason.trim() === "" ? words.noReason : ""}
    >
      <Length group={`minutes-${alarm.id}`} minutes={minutes} last={last} />
      <Reason reason={reason} give={give} />
    </AnswerForm>
  );
}

interface LengthProps {
  group: string;
  minutes: number;
  last: (minutes: number) => void;
}

function Length({ group, minutes, last }: LengthProps): JSX.Element {
  return (
    <fieldset>
      <legend>{words.howLong}</legend>
      <div class="choices">
        {MINUTES.map((n) => (
          <label key={n} class="choice">
            <input type="radio" name={group} checked={n === minutes} onChange={() => last(n)} />
            {words.minutes(n)}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

function Reason(props: { reason: string; give: (reason: string) => void }): JSX.Element {
  const { reason, give } = props;
  return (
    <fieldset>
      <legend>{words.why}</legend>
      <div class="choices">
        {words.reasons.map((each) => (
          <button
            key={each} type="button" aria-pressed={each === reason} onClick={() => give(each)}
          >
            {each}
          </button>
        ))}
      </div>
      <label>
        {words.reason}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} aria-required="true" value={reason}
          onInput={(event) => give(event.currentTarget.value)}
        />
      </label>
    </fieldset>
  );
}
