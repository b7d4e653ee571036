import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { MarkMade } from "../types.ts";
import { phaseName, marks as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { Sign } from "./sign.tsx";
import { TablePanel } from "./table_panel.tsx";

interface MarksProps {
  workshop: WorkshopModel;
  marks: MarkMade[];
}

/** The marks of a lot. */
export function MarkPanel({ workshop, lot }: LotPanelProps): JSX.Element | null {
  return <MarkTable workshop={workshop} marks={lot.marks} />;
}

/** What a person marked, and where the scale says otherwise. */
export function MarkTable({ workshop, marks }: MarksProps): JSX.Element | null {
  if (marks.length === 0) return null;
  const wall = workshop.wall.value;
  return (
    <TablePanel title={words.title} empty={null}>
      <thead>
        <tr>
          <th scope="col">{words.what}</th>
          <th scope="col">{words.at}</th>
        </tr>
      </thead>
      <tbody>
        {marks.map((mark) => (
          <tr key={`${mark.phase} ${mark.edge} ${mark.at}`}>
            <td>
              {phaseName(mark.phase)} {words.edge[mark.edge]}
              <Contradiction what={mark.contradicted ?? null} />
            </td>
            <td>{wall.time(mark.at)}</td>
          </tr>
        ))}
      </tbody>
    </TablePanel>
  );
}

function Contradiction({ what }: { what: string | null }): JSX.Element | null {
  if (what === null) return null;
  return <div class="off"><Sign name="medium" />{words.contradicted(what)}</div>;
}
