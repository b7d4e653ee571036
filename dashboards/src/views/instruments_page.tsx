import { useEffect } from "preact/hooks";
import type { JSX } from "preact";
import { REFRESH_MS } from "../models/instrument_screen.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Instrument } from "../types.ts";
import { chart, instruments as words } from "../words.ts";
import { CalibrationLine } from "./calibration_line.tsx";
import { Caution } from "./caution.tsx";
import { Unkept } from "./instrument_row.tsx";
import { InstrumentCondition, InstrumentValue } from "./instrument_value.tsx";
import "./instruments_page.css";

interface PageProps {
  workshop: WorkshopModel;
}

/** Every instrument of every bench: what it shows, how it does, and what to do if it is silent. */
export function InstrumentsPage({ workshop }: PageProps): JSX.Element {
  useEffect(() => {
    const look = (): void => void workshop.complaints.watch(() => workshop.instruments.load());
    const timer = setInterval(look, REFRESH_MS); // counts and ages are not on the stream
    return () => clearInterval(timer);
  }, [workshop]);
  const benches = workshop.info.value?.benches ?? [];
  return (
    <>
      <h1>{words.title}</h1>
      {workshop.instruments.all.value.length === 0 ? <p>{words.noneAtAll}</p> : null}
      {benches.map((bench) => <BenchInstruments key={bench} workshop={workshop} bench={bench} />)}
      <Caution />
    </>
  );
}

function BenchInstruments(props: PageProps & { bench: string }): JSX.Element | null {
  const { workshop, bench } = props;
  const here = workshop.instruments.at(bench);
  if (here.length === 0) return null;
  return (
    <section class="bench-instruments" aria-label={words.bench(bench)}>
      <h2>{words.bench(bench)}</h2>
      <ul>
        {here.map((instrument) => (
          <li key={instrument.name}><Card workshop={workshop} instrument={instrument} /></li>
        ))}
      </ul>
    </section>
  );
}

function Card(props: PageProps & { instrument: Instrument }): JSX.Element {
  const { workshop, instrument } = props;
  const { name, bench, role, kind } = instrument;
  return (
    <article class="panel instrument-card" aria-label={name}>
      <h3><a href={links.instrument(name)}>{name}</a></h3>
      <p class="soft">{chart.roles[role]} · {words.kinds[kind] ?? kind}</p>
      <InstrumentValue workshop={workshop} instrument={instrument} />
      <InstrumentCondition workshop={workshop} instrument={instrument} />
      <Unkept instrument={instrument} />
      <CalibrationLine workshop={workshop} instrument={instrument} />
      {kind === "manual" ? <p><a href={links.bench(bench)}>{words.typeAtBench(bench)}</a></p> : null}
    </article>
  );
}
