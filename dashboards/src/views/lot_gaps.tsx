import type { JSX } from "preact";
import { duration } from "../models/quantities.ts";
import { gaps as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";

/** Where the record of a lot has holes, or times that cannot be trusted. */
export function LotGaps({ workshop, lot }: LotPanelProps): JSX.Element | null {
  const off = lot.clock_off.at(-1);
  const late = lot.late ?? [];
  if (lot.gaps.length + late.length === 0 && off === undefined) return null;
  const wall = workshop.wall.value;
  return (
    <section class="panel" aria-label={words.title}>
      <h2>{words.title}</h2>
      {lot.gaps.map(({ from, to }) => (
        <p key={from}>
          {words.one(wall.time(from), wall.time(to), between(from, to))}
        </p>
      ))}
      {off === undefined ? null : <p>{clockOff(wall.time(off.at), off.seconds)}</p>}
      {late.map(({ from, to, readings }) => (
        <p key={from}>{words.late(wall.time(from), wall.time(to), readings)}</p>
      ))}
    </section>
  );
}

function clockOff(at: string, seconds: number | null): string {
  if (seconds === null) return words.noClock(at);
  return words.clock(at, duration(Math.abs(seconds)), seconds < 0);
}

function between(from: string, to: string): string {
  return duration((Date.parse(to) - Date.parse(from)) / 1000);
}
