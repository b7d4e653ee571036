import type { JSX } from "preact";
import type { Latest } from "../models/instruments.ts";
import { duration, mass, temperature, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Instrument } from "../types.ts";
import { chart, instruments as words, reading } from "../words.ts";
import "./instrument_row.css";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

export const INSTRUMENT_SIGNS: Record<Instrument["state"], SignName> = {
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

/** How much of what an instrument sent is no reading here, and in which of the two ways. */
export function Unkept({ instrument }: { instrument: Instrument }): JSX.Element {
  const [rejected, notKept] = [total(instrument.rejected), total(instrument.not_kept)];
  return (
    <>
      {rejected === 0 ? null : <p class="soft">{words.rejected(rejected)}</p>}
      {notKept === 0 ? null : <p class="soft">{words.notKept(notKept)}</p>}
    </>
  );
}

export function total(counts: Readonly<Record<string, number>>): number {
  return Object.values(counts).reduce((sum, n) => sum + n, 0);
}

interface ItemProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

function InstrumentItem({ workshop, instrument }: ItemProps): JSX.Element {
  const known = workshop.outside.feed.status.value !== "lost";
  return (
    <li class={`instrument ${instrument.state}`}>
      <p class="name">
        <Sign name={known ? INSTRUMENT_SIGNS[instrument.state] : "dash"} />
        <a href={links.instrument(instrument.name)}><strong>{instrument.name}</strong></a>
        <span>{known ? words.state[instrument.state] : words.unknown}</span>
      </p>
      <p class="soft digits">
        {chart.roles[instrument.role]} · <Last workshop={workshop} instrument={instrument} />
      </p>
      {!known || instrument.reason === null ? null : <p>{instrument.reason}</p>}
      {!known || instrument.remedy === null ? null : <p>{instrument.remedy}</p>}
      <Unkept instrument={instrument} />
    </li>
  );
}

/** By itself, since it changes every second and the rest hardly ever. */
function Last({ workshop, instrument }: ItemProps): JSX.Element {
  return <>{lastText(workshop, instrument)}</>;
}

function lastText(workshop: WorkshopModel, { name, role }: Instrument): string {
  const { instruments } = workshop;
  const latest = instruments.latest(name);
  if (latest === null) return reading.none;
  if (latest.quality === "bad") return reading.bad;
  const display = workshop.preferences.display.value;
  const shown = ({ value }: Latest): string =>
    text((role === "scale" ? mass : temperature)(value, display));
  if (latest.typed) {
    return reading.at(shown(latest), workshop.wall.value.minute(latest.takenAt));
  }
  if (instruments.isStale(latest)) {
    return reading.old(shown(latest), duration(instruments.age(latest)));
  }
  return shown(instruments.ofThisSecond(name) ?? latest);
}
