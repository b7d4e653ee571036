import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { alarms as words } from "../words.ts";
import { AnswerForm } from "./answer_form.tsx";
import type { AskProps } from "./answer_form.tsx";

const LONGEST = 1000;

/** Acknowledges an alarm with words that the lot's record keeps. */
export function NoteForm({ workshop, alarm, cancel }: AskProps): JSX.Element {
  const [note, write] = useState("");
  return (
    <AnswerForm
      label={words.note} does={words.acknowledge} cancel={cancel}
      submit={() => workshop.alarms.acknowledge(alarm, note.trim())}
    >
      <label>
        {words.note}
        <input
          type="text" autoComplete="off" maxLength={LONGEST} value={note}
          onInput={(event) => write(event.currentTarget.value)}
        />
      </label>
    </AnswerForm>
  );
}
