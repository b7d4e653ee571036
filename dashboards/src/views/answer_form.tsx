import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";

/** What every form below an alarm gets. */
export interface AskProps {
  workshop: WorkshopModel;
  alarm: Alarm;
  cancel: () => void;
}

interface AnswerFormProps {
  label: string;
  /** What the button says that does it. */
  does: string;
  /** What is missing, once somebody pressed without it. */
  missing?: string;
  submit: () => Promise<void>;
  cancel: () => void;
  children: ComponentChildren;
}

/** A form that opens below its button, takes the focus, and closes with Escape. */
export function AnswerForm(props: AnswerFormProps): JSX.Element {
  const form = useRef<HTMLFormElement>(null);
  const [busy, setBusy] = useState(false);
  // Before the next key is pressed: an "a" on the page would acknowledge.
  useLayoutEffect(() => form.current?.querySelector("input")?.focus(), []);
  const submit = (event: Event): void => {
    event.preventDefault();
    if (busy) return;
    setBusy(true);
    void props.submit().finally(() => setBusy(false));
  };
  const escape = (event: KeyboardEvent): void => {
    if (event.key !== "Escape") return;
    event.preventDefault(); // a dialog around it stays
    props.cancel();
  };
  return (
    <form
      class="ask" ref={form} aria-label={props.label} noValidate onSubmit={submit}
      onKeyDown={escape}
    >
      {props.children}
      <p class="missing" role="alert">{props.missing ?? ""}</p>
      <div class="answers">
        <button type="submit" class="does">{props.does}</button>
        <button type="button" onClick={props.cancel}>{words.cancel}</button>
      </div>
    </form>
  );
}
