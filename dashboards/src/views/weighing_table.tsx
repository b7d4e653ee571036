import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Display, Lot, Weighing } from "../types.ts";
import { weighings as words } from "../words.ts";
import { Sign } from "./sign.tsx";
import { TablePanel } from "./table_panel.tsx";

interface WeighingTableProps {
  workshop: WorkshopModel;
  lot: Lot;
}

/** Each weighing against its target, with the difference. */
export function WeighingTable({ workshop, lot }: WeighingTableProps): JSX.Element {
  return (
    <TablePanel title={words.title} empty={lot.weighings.length === 0 ? words.none : null}>
      <thead>
        <tr>
          <th scope="col">{words.what}</th>
          <th scope="col" class="number">{words.grams}</th>
          <th scope="col" class="number">{words.difference}</th>
        </tr>
      </thead>
      <tbody>
        {lot.weighings.map((weighing) => (
          <WeighingRow
            key={`${nameOf(weighing)} ${weighing.at}`} workshop={workshop} weighing={weighing}
          />
        ))}
      </tbody>
    </TablePanel>
  );
}

function WeighingRow(props: { workshop: WorkshopModel; weighing: Weighing }): JSX.Element {
  const { workshop, weighing } = props;
  const display = workshop.preferences.display.value;
  return (
    <tr>
      <th scope="row">
        {nameOf(weighing)}
        <div class="soft">{workshop.wall.value.time(weighing.at)}</div>
      </th>
      <td class="number">
        {text(mass(weighing.grams, display))}
        <div class="soft">{words.of(text(mass(weighing.target, display)))}</div>
      </td>
      <td class="number"><Difference weighing={weighing} display={display} /></td>
    </tr>
  );
}

function Difference(props: { weighing: Weighing; display: Display }): JSX.Element {
  const { grams, target, tolerance } = props.weighing;
  const off = grams - target;
  const difference = mass(Math.abs(off), props.display);
  const shown = text(difference);
  const side = off > 0 ? words.over : words.under;
  if (Number(difference.digits) === 0) return <>{shown}</>;
  if (Math.abs(off) <= tolerance) return <>{shown} {side}</>;
  return <span class="off"><Sign name={off > 0 ? "up" : "down"} />{shown} {side}</span>;
}

function nameOf({ kind, pitcher, vessel }: Weighing): string {
  if (kind === "wax") return words.wax(pitcher);
  return kind === "fragrance" ? words.fragrance(pitcher) : words.fill(vessel ?? 0);
}
