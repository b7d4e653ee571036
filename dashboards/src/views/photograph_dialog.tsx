import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import { photographAddress } from "../feed/service.ts";
import { neighbor } from "../models/photographs.ts";
import type { PhotographsModel } from "../models/photographs.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { Photograph } from "../types.ts";
import { photographs as words } from "../words.ts";
import { TakeBackForm } from "./take_back_form.tsx";

interface DialogProps {
  wall: WallTime;
  model: PhotographsModel;
  photographs: readonly Photograph[];
  /** The photograph that is shown large. */
  open: string;
  show: (id: string | null) => void;
}

const STEPS: Readonly<Record<string, number>> = { ArrowLeft: -1, ArrowRight: 1 };

/** One photograph as large as the screen; arrows go on to the others, Escape goes back. */
export function PhotographDialog(props: DialogProps): JSX.Element | null {
  const { wall, photographs, open, show } = props;
  const dialog = useRef<HTMLDialogElement>(null);
  const place = photographs.findIndex(({ id }) => id === open);
  const one = photographs[place];
  useLayoutEffect(() => dialog.current?.showModal(), []);
  useEffect(() => {
    if (one === undefined) show(null); // somebody took it back meanwhile
  }, [one, show]);
  if (one === undefined) return null;
  const go = (step: number): void => show(neighbor(photographs, open, step)?.id ?? null);
  const key = (event: KeyboardEvent): void => {
    const step = STEPS[event.key];
    if (step === undefined || event.target instanceof HTMLInputElement) return;
    event.preventDefault();
    go(step);
  };
  const what = words.named(one.caption, wall.minute(one.at));
  return (
    <dialog
      ref={dialog} class="large" aria-label={what} onKeyDown={key} onClose={() => show(null)}
    >
      <img
        src={photographAddress(props.model.lot, one.id)} alt={what}
        width={one.width ?? undefined} height={one.height ?? undefined}
      />
      <p class="what">
        <span>{what}</span>
        <span class="soft digits">{wall.moment(one.at)}</span>
        <span class="soft digits">{words.place(place + 1, photographs.length)}</span>
      </p>
      <div class="ways">
        {photographs.length < 2 ? null : (
          <>
            <button type="button" onClick={() => go(-1)}>{words.previous}</button>
            <button type="button" onClick={() => go(1)}>{words.next}</button>
          </>
        )}
        <button type="button" onClick={() => dialog.current?.close()}>{words.close}</button>
      </div>
      <TakeBack key={one.id} model={props.model} one={one} what={what} />
    </dialog>
  );
}

interface TakeBackProps {
  model: PhotographsModel;
  one: Photograph;
  what: string;
}

function TakeBack({ model, one, what }: TakeBackProps): JSX.Element {
  const [asked, ask] = useState(false);
  if (!asked) {
    return (
      <button type="button" class="take-back" onClick={() => ask(true)}>{words.takeBack}</button>
    );
  }
  return (
    <TakeBackForm
      label={`${words.takeBack}: ${what}`} what={words.bytesGo} does={words.sure}
      submit={(reason) => model.takeBack(one.id, reason)} cancel={() => ask(false)}
    />
  );
}
