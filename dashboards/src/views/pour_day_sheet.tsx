import type { JSX } from "preact";
import { mass } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { LotOfDay, PourDay } from "../types.ts";
import { pourDays as words, sheet as sheetWords } from "../words.ts";
import { TablePanel } from "./table_panel.tsx";

interface DaySheetProps {
  workshop: WorkshopModel;
  day: PourDay;
}

/** What is to be weighed, pitcher by pitcher, in the order of the day. */
export function PourDaySheet({ workshop, day }: DaySheetProps): JSX.Element {
  const display = workshop.preferences.display.value;
  const grams = (value: number): string => mass(value, display).digits;
  return (
    <TablePanel title={words.weigh} empty={null} note={sheetWords.masses(display.mass)}>
      <thead>
        <tr>
          <th scope="col">{words.recipe}</th>
          <th scope="col" class="number">{words.vessels}</th>
          <th scope="col" class="number">{words.wax}</th>
          <th scope="col" class="number">{words.fragrance}</th>
        </tr>
      </thead>
      <tbody>
        {day.lots.map((lot, place) => <LotRows key={place} lot={lot} grams={grams} />)}
      </tbody>
    </TablePanel>
  );
}

function LotRows(props: { lot: LotOfDay; grams: (value: number) => string }): JSX.Element {
  const { lot, grams } = props;
  return (
    <>
      {lot.pitchers.map(({ pitcher, vessels, wax, fragrance, drawn }) => (
        <tr key={pitcher}>
          <th scope="row">
            {lot.recipe}
            {lot.pitchers.length < 2 ? null : <div class="soft">{words.pitcher(pitcher)}</div>}
          </th>
          <td class="number">{vessels}</td>
          <td class="number">
            {grams(wax)}
            {drawn === null ? null : <div class="soft">{words.drawnOf(grams(drawn))}</div>}
          </td>
          <td class="number">{grams(fragrance)}</td>
        </tr>
      ))}
    </>
  );
}
