import { useRef, useState } from "preact/hooks";
import type { JSX, TargetedEvent } from "preact";
import { UNREACHABLE } from "../feed/refusal.ts";
import { photographAddress } from "../feed/service.ts";
import { standing } from "../models/photographs.ts";
import type { Failure, Parcel, PhotographsModel } from "../models/photographs.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { Photograph } from "../types.ts";
import { page, photographs as words } from "../words.ts";
import "./lot_photographs.css";
import { PhotographDialog } from "./photograph_dialog.tsx";

interface PhotographsProps {
  wall: WallTime;
  model: PhotographsModel;
  photographs: readonly Photograph[];
}

/** A lot's photographs as small pictures, one of them large, and the way to more. */
export function LotPhotographs({ wall, model, photographs }: PhotographsProps): JSX.Element {
  const [open, show] = useState<string | null>(null);
  const shown = standing(photographs);
  return (
    <div class="photographed">
      <h3>{words.list}</h3>
      <AddPhotographs model={model} />
      <Parcels model={model} />
      {shown.length === 0 && model.parcels.value.length === 0
        ? <p class="soft">{words.none}</p>
        : null}
      {shown.length === 0 ? null : (
        <ul class="thumbs" aria-label={words.list}>
          {shown.map((one) => (
            <li key={one.id}>
              <Thumb wall={wall} lot={model.lot} one={one} open={() => show(one.id)} />
            </li>
          ))}
        </ul>
      )}
      {photographs.map((one) => <Gone key={one.id} wall={wall} one={one} />)}
      {open === null ? null : (
        <PhotographDialog
          wall={wall} model={model} photographs={shown} open={open} show={show}
        />
      )}
    </div>
  );
}

function AddPhotographs({ model }: { model: PhotographsModel }): JSX.Element {
  const caption = model.caption.text.value;
  return (
    <div class="adding">
      <label>
        {words.caption}
        <input
          type="text" autoComplete="off" maxLength={300} value={caption}
          onInput={(event) => model.caption.write(event.currentTarget.value)}
        />
      </label>
      <div class="ways">
        <Choice class="add" label={words.add} model={model} />
        <Choice class="camera" label={words.camera} model={model} capture="environment" />
      </div>
      <p class="soft drop">{words.drop}</p>
    </div>
  );
}

interface ChoiceProps {
  class: string;
  label: string;
  model: PhotographsModel;
  /** The camera that opens at once; without it a phone offers its camera and its files. */
  capture?: "environment";
}

/** A button of the page's own for a file field, which cannot be drawn in its likeness. */
function Choice(props: ChoiceProps): JSX.Element {
  const field = useRef<HTMLInputElement>(null);
  const take = ({ currentTarget }: TargetedEvent<HTMLInputElement>): void => {
    void props.model.add(currentTarget.files ?? []);
    currentTarget.value = ""; // the same file again is a change again
  };
  return (
    <>
      <button type="button" class={props.class} onClick={() => field.current?.click()}>
        {props.label}
      </button>
      <input
        ref={field} type="file" accept="image/*" aria-label={props.label} hidden
        multiple={props.capture === undefined} onChange={take}
        {...(props.capture === undefined ? {} : { capture: props.capture })}
      />
    </>
  );
}

function Parcels({ model }: { model: PhotographsModel }): JSX.Element {
  return (
    <ul class="parcels">
      {model.parcels.value.map((parcel) => (
        <li key={parcel.key}>
          {parcel.failed === null
            ? <OnItsWay parcel={parcel} />
            : <NotSent model={model} parcel={parcel} failed={parcel.failed} />}
        </li>
      ))}
    </ul>
  );
}

function OnItsWay({ parcel }: { parcel: Parcel }): JSX.Element {
  return (
    <label>
      {words.sending(parcel.name)}
      <progress max={1} value={parcel.part} />
      <span class="digits">{words.percent(parcel.part)}</span>
    </label>
  );
}

interface NotSentProps {
  model: PhotographsModel;
  parcel: Parcel;
  failed: Failure;
}

function NotSent({ model, parcel, failed }: NotSentProps): JSX.Element {
  return (
    <>
      <p role="alert">{words.notSent(parcel.name)} {reason(failed)}</p>
      <div class="ways">
        {failed === "unreadable" ? null : (
          <button type="button" onClick={() => void model.again(parcel.key)}>{words.again}</button>
        )}
        <button type="button" onClick={() => model.giveUp(parcel.key)}>{words.giveUp}</button>
      </div>
    </>
  );
}

function reason(failed: Failure): string {
  if (failed === "unreadable") return words.unreadable;
  return failed.status === UNREACHABLE ? page.unreachable : failed.message;
}

interface ThumbProps {
  wall: WallTime;
  lot: string;
  one: Photograph;
  open: () => void;
}

function Thumb({ wall, lot, one, open }: ThumbProps): JSX.Element {
  return (
    <button type="button" class="thumb" onClick={open}>
      <span class="unseen">{words.open}</span>
      <img src={photographAddress(lot, one.id)} alt="" loading="lazy" decoding="async" />
      <span>{words.named(one.caption, wall.minute(one.at))}</span>
      <span class="soft digits">{wall.moment(one.at)}</span>
    </button>
  );
}

function Gone({ wall, one }: { wall: WallTime; one: Photograph }): JSX.Element | null {
  const { removed } = one;
  if (removed === null) return null;
  const gone = words.gone(words.named(one.caption, wall.minute(one.at)), wall.moment(removed.at), removed.reason);
  return <p class="soft gone">{gone}</p>;
}
