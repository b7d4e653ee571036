import type { JSX } from "preact";
import { lotReadOut, unitsOf } from "../models/lot_read_out.ts";
import type { LotReadOut } from "../models/lot_read_out.ts";
import type { LotScreen } from "../models/lot_screen.ts";
import type { ReadValue } from "../models/read_out.ts";
import { digits, text } from "../models/quantities.ts";
import type { WallTime } from "../models/wall_time.ts";
import type { Lot } from "../types.ts";
import { curve as words } from "../words.ts";
import { returnTo } from "./show_in_curve.tsx";

/** A reading taken this much beside the moment says when it was taken; seconds. */
const BESIDE_S = 2;

/** What was true at the moment that is pointed at; read aloud where it was moved by key. */
export function CurveReadOut({ screen, lot }: { screen: LotScreen; lot: Lot }): JSX.Element {
  const read = readOutOf(screen, lot);
  const wall = screen.workshop.wall.value;
  const spoken = screen.view.keyed.value > 0 && read !== null ? sentence(read, wall) : "";
  return (
    <div class="read-out">
      {read === null ? <p class="soft">{words.nothing}</p> : <Shown read={read} wall={wall} />}
      <Back screen={screen} />
      <p class="unseen" role="status">{spoken}</p>
    </div>
  );
}

/** The way back to the row that led to the curve. */
function Back({ screen }: { screen: LotScreen }): JSX.Element | null {
  const origin = screen.view.origin.value;
  if (origin === null) return null;
  return (
    <button type="button" class="back" onClick={() => returnTo(screen.view, origin)}>
      {words.back(origin.name)}
    </button>
  );
}

function readOutOf(screen: LotScreen, lot: Lot): LotReadOut | null {
  const [at, pictures] = [screen.view.cursor.value, screen.pictures.value];
  if (at === null || pictures === null) return null;
  const { preferences } = screen.workshop;
  const units = unitsOf(preferences.display.value);
  const charts = [
    { picture: pictures.warm, ...units.warm }, { picture: pictures.heavy, ...units.heavy },
  ];
  return lotReadOut(lot, charts, at, screen.say.value, (said) => preferences.told(said));
}

function Shown({ read, wall }: { read: LotReadOut; wall: WallTime }): JSX.Element {
  return (
    <>
      <p class="moment">
        <strong class="digits">{wall.time(read.at * 1000)}</strong>
        <span>{read.phases.join(", ") || words.between}</span>
      </p>
      <dl>
        {read.values.map((value) => (
          <div key={value.label}>
            <dt>{value.label}</dt>
            <dd class="digits">{valueText(value, read.at, wall)}</dd>
          </div>
        ))}
      </dl>
      <p class="soft nearest">{read.nearest.join(" · ")}</p>
    </>
  );
}

function valueText({ value, unit, decimals, at }: ReadValue, moment: number, wall: WallTime): string {
  if (value === null) return words.noValue;
  const shown = text({ digits: digits(value, decimals), unit });
  const aside = Math.abs(at - moment) > BESIDE_S;
  return aside ? words.takenAt(shown, wall.time(at * 1000)) : shown;
}

function sentence(read: LotReadOut, wall: WallTime): string {
  const values = read.values.map((value) =>
    words.line(value.label, valueText(value, read.at, wall)));
  const phases = read.phases.join(", ") || words.between;
  return [wall.time(read.at * 1000), phases, ...values, ...read.nearest].join("; ");
}
