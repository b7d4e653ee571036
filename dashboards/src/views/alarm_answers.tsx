import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX, RefObject } from "preact";
import { answersTo } from "../models/alarms.ts";
import type { Answer } from "../models/alarms.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";
import { NoteForm } from "./note_form.tsx";
import { ShelveForm } from "./shelve_form.tsx";

interface AnswersProps {
  workshop: WorkshopModel;
  alarm: Alarm;
  showsKey: boolean;
  more: JSX.Element | null;
}

/** The answers that need more than a press, and open a form. */
type Asked = "acknowledge" | "shelve";

/** What a person can do about an alarm: its buttons, and the form that one of them opened. */
export function AlarmAnswers(props: AnswersProps): JSX.Element | null {
  const { workshop, alarm, more } = props;
  const [asked, ask] = useState<Asked | null>(null);
  const opener = useRef<HTMLButtonElement>(null);
  useEffect(() => ask(null), [alarm.state]);
  const offered = answersTo(alarm);
  if (offered.length === 0 && more === null) return null;
  const cancel = (): void => {
    ask(null);
    opener.current?.focus();
  };
  const form = { workshop, alarm, cancel };
  return (
    <>
      <Buttons {...props} offered={offered} asked={asked} ask={ask} opener={opener} />
      {asked === "acknowledge" ? <NoteForm {...form} /> : null}
      {asked === "shelve" ? <ShelveForm {...form} /> : null}
    </>
  );
}

interface ButtonsProps extends AnswersProps {
  offered: readonly Answer[];
  asked: Asked | null;
  ask: (asked: Asked | null) => void;
  opener: RefObject<HTMLButtonElement | null>;
}

function Buttons(props: ButtonsProps): JSX.Element {
  const { workshop: { alarms, preferences }, alarm, more, offered } = props;
  const about = <span class="unseen">: {preferences.told(alarm.message)}</span>;
  return (
    <div class="answers">
      {more}
      {!offered.includes("acknowledge") ? null : (
        <>
          <button type="button" onClick={() => void alarms.acknowledge(alarm)}>
            {words.acknowledge}{about}
            {props.showsKey ? <small>{words.acknowledgeKey}</small> : null}
          </button>
          <Opener {...props} form="acknowledge">{words.addNote}{about}</Opener>
        </>
      )}
      {offered.includes("shelve")
        ? <Opener {...props} form="shelve">{words.shelve}{about}</Opener>
        : null}
      {!offered.includes("unshelve") ? null : (
        <button type="button" onClick={() => void alarms.unshelve(alarm)}>
          {words.unshelve}{about}
        </button>
      )}
      {!offered.includes("reset") ? null : (
        <button type="button" onClick={() => void alarms.reset(alarm)}>
          {words.reset}{about}
        </button>
      )}
    </div>
  );
}

interface OpenerProps extends Pick<ButtonsProps, "asked" | "ask" | "opener"> {
  form: Asked;
  children: (string | JSX.Element)[];
}

function Opener({ form, asked, ask, opener, children }: OpenerProps): JSX.Element {
  const open = asked === form;
  return (
    <button
      type="button" aria-expanded={open} onClick={(event) => {
        opener.current = event.currentTarget;
        ask(open ? null : form);
      }}
    >
      {children}
    </button>
  );
}
