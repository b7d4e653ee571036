import type { JSX } from "preact";
import { askedRows } from "../models/asked.ts";
import type { AskedRow } from "../models/asked.ts";
import { unbroken } from "../models/unbroken.ts";
import { asked as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { Sign } from "./sign.tsx";
import { TablePanel } from "./table_panel.tsx";

/** What the recipe asked for, what was, and how they differ. */
export function AskedTable({ screen, model, lot }: LotPanelProps): JSX.Element {
  const rows = askedRows(lot, model.measured.value ?? [], screen.say.value);
  return (
    <TablePanel title={words.title} empty={rows.length === 0 ? words.none : null}>
      <thead>
        <tr>
          <th scope="col">{words.what}</th>
          <th scope="col">{words.asked}</th>
          <th scope="col">{words.was}</th>
          <th scope="col">{words.difference}</th>
        </tr>
      </thead>
      <tbody>{rows.map((row) => <Row key={row.what} row={row} />)}</tbody>
    </TablePanel>
  );
}

function Row({ row }: { row: AskedRow }): JSX.Element {
  const { what, asked, was, when, difference, off } = row;
  return (
    <tr>
      <th scope="row">{what}</th>
      <td>{unbroken(asked)}</td>
      <td>{unbroken(was)}{when === null ? null : <div class="soft">{when}</div>}</td>
      <td>
        {off === null ? difference : (
          <span class="off"><Sign name={off === "over" ? "up" : "down"} />{difference}</span>
        )}
      </td>
    </tr>
  );
}
