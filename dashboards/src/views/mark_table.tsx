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
              <Marked mark={mark} workshop={workshop} />
              <Contradiction what={mark.contradicted} />
            </td>
            <td>{wall.time(mark.at)}</td>
          </tr>
        ))}
      </tbody>
    </TablePanel>
  );
}

/** One that was taken back is struck through, and says so. */
function Marked({ mark, workshop }: { mark: MarkMade; workshop: WorkshopModel }): JSX.Element {
  const what = `${phaseName(mark.phase)} ${words.edge[mark.edge]}`;
  const withdrawn = mark.withdrawn_at;
  if (withdrawn === null) return <>{what}</>;
  const time = workshop.wall.value.time(withdrawn);
  return <><del>{what}</del> <span class="soft">{words.withdrawn(time)}</span></>;
}

function Contradiction({ what }: { what: string | null }): JSX.Element | null {
  if (what === null) return null;
  return <div class="off"><Sign name="medium" />{words.contradicted(what)}</div>;
}
