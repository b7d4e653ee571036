import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { notes as words } from "../words.ts";
import { AnswerForm } from "./answer_form.tsx";

const LONGEST = 300;

interface TakeBackProps {
  label: string;
  /** What becomes of it. */
  what: string;
  /** What the second press says. */
  does: string;
  submit: (reason: string) => Promise<void>;
  cancel: () => void;
}

/** Asks why something is taken back: the first press asked for this, the second does it. */
export function TakeBackForm({ label, what, does, submit, cancel }: TakeBackProps): JSX.Element {
  const [reason, write] = useState("");
  const [pressed, press] = useState(false);
  const missing = reason.trim() === "";
  const send = (): Promise<void> => {
    press(true);
    return missing ? Promise.resolve() : submit(reason.trim());
  };
  return (
    <AnswerForm
      label={label} does={does} submit={send} cancel={cancel}
      missing={pressed && missing ? words.reasonMissing : ""}
    >
      <p>{what}</p>
      <label>
        {words.reason}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} value={reason}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
    </AnswerForm>
  );
}
