import type { JSX } from "preact";
import { difference, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { InstrumentInFull } from "../types.ts";
import { chart, instruments as words } from "../words.ts";
import { total } from "./instrument_row.tsx";

interface FactsProps {
  workshop: WorkshopModel;
  full: InstrumentInFull;
}

/** How it is connected, how much came of it, and what of that was no reading. */
export function InstrumentFacts({ workshop, full }: FactsProps): JSX.Element {
  return (
    <div class="instrument-facts">
      <Connection full={full} />
      <Counts workshop={workshop} full={full} />
    </div>
  );
}

function Connection({ full }: { full: InstrumentInFull }): JSX.Element {
  return (
    <section class="panel" aria-label={words.connection}>
      <h2>{words.connection}</h2>
      <dl>
        <Fact what={words.kind} value={words.kinds[full.kind] ?? full.kind} />
        <Fact what={words.role} value={chart.roles[full.role]} />
        {full.connection.map(({ what, value }) => <Fact key={what} what={what} value={value} />)}
        {full.silent_after === null
          ? null
          : <Fact what={words.silentAfter} value={words.seconds(full.silent_after)} />}
      </dl>
    </section>
  );
}

function Counts({ workshop, full }: FactsProps): JSX.Element {
  const display = workshop.preferences.display.value;
  const rate = full.per_second === null ? words.unknownRate : full.per_second.toFixed(2);
  const none = total(full.rejected) + total(full.not_kept) === 0;
  return (
    <section class="panel" aria-label={words.counts}>
      <h2>{words.counts}</h2>
      <dl>
        <Fact what={words.readings} value={String(full.readings)} />
        <Fact what={words.rate} value={rate} />
        {full.resolution === null
          ? null
          : <Fact what={words.finest} value={text(difference(full.resolution, full.role, display))} />}
      </dl>
      {none ? <p class="soft">{words.allUnderstood}</p> : null}
      <Reasons title={words.notUnderstood} counts={full.rejected} />
      <Reasons title={words.unkept} counts={full.not_kept} />
    </section>
  );
}

function Fact({ what, value }: { what: string; value: string }): JSX.Element {
  return (
    <div>
      <dt class="soft">{what}</dt>
      <dd class="digits">{value}</dd>
    </div>
  );
}

interface ReasonsProps {
  title: string;
  counts: Readonly<Record<string, number>>;
}

function Reasons({ title, counts }: ReasonsProps): JSX.Element | null {
  const reasons = Object.entries(counts);
  if (reasons.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <ul class="reasons">
        {reasons.map(([why, n]) => (
          <li key={why}><span class="digits">{words.times(n)}</span> {why}</li>
        ))}
      </ul>
    </>
  );
}
