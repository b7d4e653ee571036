import type { ComponentType, JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import { lot as words, page } from "../words.ts";
import { AskedTable } from "./asked_table.tsx";
import { BatchSheetPanel } from "./batch_sheet_table.tsx";
import { BesidePanel } from "./beside_panel.tsx";
import { Caution } from "./caution.tsx";
import { DeviationList } from "./deviation_list.tsx";
import { LotCurve } from "./lot_curve.tsx";
import { LotExport } from "./lot_export.tsx";
import { LotGaps } from "./lot_gaps.tsx";
import { LotHeader } from "./lot_header.tsx";
import { LotKeep } from "./lot_keep.tsx";
import "./lot_page.css";
import type { LotPanelProps } from "./lot_panel.ts";
import { LotPaper } from "./lot_paper.tsx";
import { LotStory } from "./lot_story.tsx";
import { LotVerdict } from "./lot_verdict.tsx";
import { MarkPanel } from "./mark_table.tsx";
import { PhaseTable } from "./phase_table.tsx";
import { TargetPanel } from "./target_panel.tsx";
import { useLot } from "./use_lot.ts";
import { WeighingTable } from "./weighing_table.tsx";

/** The page in its order below the heading; a further panel is a line here. */
const PANELS: readonly ComponentType<LotPanelProps>[] = [
  LotStory,
  LotCurve,
  DeviationList,
  LotVerdict,
  TargetPanel,
  WeighingTable,
  AskedTable,
  BesidePanel,
  PhaseTable,
  MarkPanel,
  BatchSheetPanel,
  LotGaps,
  LotPaper,
  LotExport,
  LotKeep,
];

interface LotPageProps {
  workshop: WorkshopModel;
  id: string;
  /** The part of the page that was asked for, empty where none was. */
  part: string;
}

/** The record of one lot: what happened, and what was off. */
export function LotPage({ workshop, id, part }: LotPageProps): JSX.Element {
  const screen = useLot(workshop, id);
  const { lot: { value: lot }, missing } = screen.record;
  if (missing.value) return <NoSuchLot />;
  if (lot === null) return <Waiting id={id} />;
  return (
    <>
      <LotHeader workshop={workshop} lot={lot} />
      <div class="lot-grid">
        {PANELS.map((Panel, place) => (
          <Panel
            key={place} workshop={workshop} screen={screen} model={screen.record} lot={lot}
            part={part}
          />
        ))}
      </div>
      <Caution />
    </>
  );
}

function Waiting({ id }: { id: string }): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.title(id)}</h1>
      <p>{page.loading}</p>
      <p><a href={links.lots}>{page.lots}</a></p>
    </div>
  );
}

function NoSuchLot(): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.none}</h1>
      <p>{words.unknown} <a href={links.lots}>{words.toLots}</a></p>
    </div>
  );
}
