import { useRef } from "preact/hooks";
import type { JSX, RefObject } from "preact";
import { answersTo } from "../models/alarms.ts";
import type { Answer, Asked, Place } from "../models/alarms.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Alarm } from "../types.ts";
import { alarms as words } from "../words.ts";
import { catchFocus } from "./catch_focus.ts";
import { NoteForm } from "./note_form.tsx";
import { ShelveForm } from "./shelve_form.tsx";

interface AnswersProps {
  workshop: WorkshopModel;
  alarm: Alarm;
  place: Place;
  showsKey: boolean;
  more: JSX.Element | null;
}

/** What a person can do about an alarm: its buttons, and the form that one of them opened. */
export function AlarmAnswers(props: AnswersProps): JSX.Element | null {
  const { workshop, alarm, place, more } = props;
  const { alarms } = workshop;
  const writing = alarms.writing.value;
  const asked = writing?.alarm === alarm.id ? writing.form : null;
  const opener = useRef<HTMLButtonElement>(null);
  const offered = answersTo(alarm);
  if (offered.length === 0 && asked === null && more === null) return null;
  const ask = (form: Asked | null): void => {
    if (form === null) alarms.leave();
    else alarms.write({ alarm: alarm.id, form, place });
  };
  const cancel = (): void => {
    ask(null);
    opener.current?.focus();
    requestAnimationFrame(catchFocus); // the button goes where its alarm goes
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
