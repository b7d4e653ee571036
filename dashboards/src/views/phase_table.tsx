import type { JSX } from "preact";
import { duration } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Lot, LotPhase } from "../types.ts";
import { phaseName, phases as words } from "../words.ts";
import { Sign } from "./sign.tsx";
import { TablePanel } from "./table_panel.tsx";

interface PhaseTableProps {
  workshop: WorkshopModel;
  lot: Lot;
}

/** Each phase with its time, against what the recipe asks. */
export function PhaseTable({ workshop, lot }: PhaseTableProps): JSX.Element {
  const many = lot.batch_sheet.pitchers.length > 1;
  return (
    <TablePanel title={words.title} empty={lot.phases.length === 0 ? words.none : null}>
      <thead>
        <tr>
          <th scope="col">{words.phase}</th>
          <th scope="col">{words.began}</th>
          <th scope="col">{words.lasted}</th>
          <th scope="col">{words.evidence}</th>
        </tr>
      </thead>
      <tbody>
        {lot.phases.map((phase) => (
          <PhaseRow
            key={`${phase.phase} ${phase.began}`} workshop={workshop} phase={phase}
            asked={phase.phase === "stir" ? lot.recipe.stir_seconds : null} many={many}
            closed={lot.state === "closed"}
          />
        ))}
      </tbody>
    </TablePanel>
  );
}

interface PhaseRowProps {
  workshop: WorkshopModel;
  phase: LotPhase;
  /** Seconds that the recipe wants at least. */
  asked: number | null;
  many: boolean;
  /** Whether nobody watches the lot any more: what has no end then goes on unseen. */
  closed: boolean;
}

function PhaseRow({ workshop, phase, asked, many, closed }: PhaseRowProps): JSX.Element {
  const wall = workshop.wall.value;
  const unended = closed ? words.since(wall.minute(phase.began)) : words.running;
  return (
    <tr>
      <th scope="row">
        {phaseName(phase.phase)}
        {many ? <span class="soft">, {words.pitcher(phase.pitcher)}</span> : null}
      </th>
      <td>{wall.time(phase.began)}</td>
      <td>
        {phase.seconds === null ? unended : duration(phase.seconds)}
        <Asked seconds={phase.seconds} asked={asked} />
      </td>
      <td>
        {words.by[phase.evidence] ?? phase.evidence}
        <RestsOn evidence={phase.rests_on} />
      </td>
    </tr>
  );
}

function RestsOn({ evidence }: { evidence: LotPhase["rests_on"] }): JSX.Element | null {
  if (evidence === null) return null;
  return <div class="soft">{words.restsOn(evidence.readings, evidence.channel)}</div>;
}

function Asked(props: { seconds: number | null; asked: number | null }): JSX.Element | null {
  const { seconds, asked } = props;
  if (asked === null) return null;
  if (seconds === null || seconds >= asked) {
    return <div class="soft">{words.atLeast(duration(asked))}</div>;
  }
  const missing = duration(Math.ceil(asked - seconds));
  return <div class="off"><Sign name="down" />{words.short(missing, duration(asked))}</div>;
}
