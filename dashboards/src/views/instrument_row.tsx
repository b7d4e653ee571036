import type { JSX } from "preact";
import { duration, mass, temperature, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Instrument } from "../types.ts";
import { chart, instruments as words, reading } from "../words.ts";
import "./instrument_row.css";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

const SIGNS: Record<Instrument["state"], SignName> = {
  reading: "check", silent: "pause", lost: "cut", waiting: "dash",
};

interface RowProps {
  workshop: WorkshopModel;
  bench: string;
}

/** How each instrument of the bench is; a silent one says why, and what to do. */
export function InstrumentRow({ workshop, bench }: RowProps): JSX.Element {
  const here = workshop.instruments.at(bench);
  return (
    <section class="panel instruments" aria-label={words.title}>
      <h2>{words.title}</h2>
      {here.length === 0 ? <p>{words.none}</p> : null}
      <ul>
        {here.map((instrument) => (
          <InstrumentItem key={instrument.name} workshop={workshop} instrument={instrument} />
        ))}
      </ul>
    </section>
  );
}

interface ItemProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

function InstrumentItem({ workshop, instrument }: ItemProps): JSX.Element {
  const rejected = Object.values(instrument.rejected).reduce((sum, n) => sum + n, 0);
  return (
    <li class={`instrument ${instrument.state}`}>
      <p class="name">
        <Sign name={SIGNS[instrument.state]} />
        <strong>{instrument.name}</strong>
        <span>{words.state[instrument.state]}</span>
      </p>
      <p class="soft digits">{chart.roles[instrument.role]} · {lastText(workshop, instrument)}</p>
      {instrument.reason === null ? null : <p>{instrument.reason}</p>}
      {instrument.remedy === null ? null : <p>{instrument.remedy}</p>}
      {rejected === 0 ? null : <p class="soft">{words.rejected(rejected)}</p>}
    </li>
  );
}

function lastText(workshop: WorkshopModel, { name, role }: Instrument): string {
  const latest = workshop.instruments.latest(name);
  if (latest === null) return reading.none;
  if (latest.quality === "bad") return reading.bad;
  const display = workshop.preferences.display.value;
  const shown = text((role === "scale" ? mass : temperature)(latest.value, display));
  if (latest.typed) return reading.at(shown, workshop.wall.value.minute(latest.takenAt));
  const { instruments } = workshop;
  if (!instruments.isStale(latest)) return shown;
  return reading.old(shown, duration(instruments.age(latest)));
}
