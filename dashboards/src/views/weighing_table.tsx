import type { JSX } from "preact";
import { isOutside } from "../models/fills.ts";
import { weighingName } from "../models/lot_read_out.ts";
import { mass, text } from "../models/quantities.ts";
import type { Display, Weighing } from "../types.ts";
import { weighings as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { ShowInCurve } from "./show_in_curve.tsx";
import { Sign } from "./sign.tsx";
import { TablePanel } from "./table_panel.tsx";

/** Each weighing against its target, with the difference. */
export function WeighingTable(props: LotPanelProps): JSX.Element {
  const { lot } = props;
  return (
    <TablePanel title={words.title} empty={lot.weighings.length === 0 ? words.none : null}>
      <thead>
        <tr>
          <th scope="col">{words.what}</th>
          <th scope="col" class="number">{words.grams}</th>
          <th scope="col" class="number">{words.difference}</th>
          <th scope="col"><span class="unseen">{words.where}</span></th>
        </tr>
      </thead>
      <tbody>
        {lot.weighings.map((weighing) => (
          <WeighingRow
            key={`${weighingName(weighing)} ${weighing.at}`} {...props} weighing={weighing}
          />
        ))}
      </tbody>
    </TablePanel>
  );
}

function WeighingRow(props: LotPanelProps & { weighing: Weighing }): JSX.Element {
  const { workshop, screen, weighing } = props;
  const display = workshop.preferences.display.value;
  return (
    <tr>
      <th scope="row">
        {weighingName(weighing)}
        <div class="soft">{workshop.wall.value.time(weighing.at)}</div>
      </th>
      <td class="number">
        {text(mass(weighing.grams, display))}
        <div class="soft">{words.of(text(mass(weighing.target, display)))}</div>
      </td>
      <td class="number"><Difference weighing={weighing} display={display} /></td>
      <td><ShowInCurve view={screen.view} at={weighing.at} name={weighingName(weighing)} /></td>
    </tr>
  );
}

function Difference(props: { weighing: Weighing; display: Display }): JSX.Element {
  const { grams, target } = props.weighing;
  const off = grams - target;
  const difference = mass(Math.abs(off), props.display);
  const shown = text(difference);
  const side = off > 0 ? words.over : words.under;
  if (Number(difference.digits) === 0) return <>{shown}</>;
  if (!isOutside(props.weighing)) return <>{shown} {side}</>;
  return <span class="off"><Sign name={off > 0 ? "up" : "down"} />{shown} {side}</span>;
}
