import type { ComponentChildren, JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import { cell, WHOLE } from "../models/sheet_changes.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { BatchSheet, Display } from "../types.ts";
import { sheet as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { SheetChecks } from "./sheet_checks.tsx";
import { TablePanel } from "./table_panel.tsx";

interface SheetProps {
  workshop: WorkshopModel;
  sheet: BatchSheet;
  /** The numbers that are to stand out because they have just changed. */
  changed?: ReadonlySet<string>;
}

const NOTHING: ReadonlySet<string> = new Set();

type Part = Pick<BatchSheet, "vessels" | "mix" | "wax" | "fragrance">;

/** The batch sheet of a lot. */
export function BatchSheetPanel({ workshop, lot }: LotPanelProps): JSX.Element {
  return <BatchSheetTable workshop={workshop} sheet={lot.batch_sheet} />;
}

/** The computed grams of the lot, whole and per pitcher. */
export function BatchSheetTable(props: SheetProps): JSX.Element {
  const { workshop, sheet, changed = NOTHING } = props;
  const display = workshop.preferences.display.value;
  const grams = (value: number): string => mass(value, display).digits;
  return (
    <TablePanel
      title={words.title} empty={null} note={noteOf(sheet, display)}
      below={<SheetChecks sheet={sheet} display={display} />}
    >
      <thead>
        <tr>
          <th scope="col">{words.part}</th>
          <th scope="col" class="number">{words.vessels}</th>
          <th scope="col" class="number">{words.wax}</th>
          <th scope="col" class="number">{words.fragrance}</th>
          <th scope="col" class="number">{words.mix}</th>
        </tr>
      </thead>
      <tbody>
        {sheet.pitchers.map((part) => (
          <PartRow
            key={part.pitcher} name={words.pitcher(part.pitcher)} part={part} grams={grams}
            marked={(column) => changed.has(cell(part.pitcher, column))}
          />
        ))}
        <PartRow
          name={words.whole} part={sheet} grams={grams}
          marked={(column) => changed.has(cell(WHOLE, column))}
        />
      </tbody>
    </TablePanel>
  );
}

function noteOf(sheet: BatchSheet, display: Display): string {
  return [
    words.fill(text(mass(sheet.fill, display))),
    words.load(String(sheet.load), sheet.load_of),
    words.masses(display.mass),
  ].join(" ");
}

interface PartRowProps {
  name: string;
  part: Part;
  grams: (value: number) => string;
  marked: (column: string) => boolean;
}

function PartRow({ name, part, grams, marked }: PartRowProps): JSX.Element {
  return (
    <tr>
      <th scope="row">{name}</th>
      <Number marked={marked("vessels")}>{part.vessels}</Number>
      <Number marked={marked("wax")}>{grams(part.wax)}</Number>
      <Number marked={marked("fragrance")}>{grams(part.fragrance)}</Number>
      <Number marked={marked("mix")}>{grams(part.mix)}</Number>
    </tr>
  );
}

function Number(props: { marked: boolean; children: ComponentChildren }): JSX.Element {
  if (!props.marked) return <td class="number">{props.children}</td>;
  return (
    <td class="number">
      <span class="just-changed">{props.children}</span>
      <span class="unseen">{words.changed}</span>
    </td>
  );
}
