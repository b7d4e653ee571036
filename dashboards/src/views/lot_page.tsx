import { useEffect, useMemo, useState } from "preact/hooks";
import type { JSX } from "preact";
import { LotModel } from "../models/lot.ts";
import { ExportModel } from "../models/lot_export.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { NOTES, links } from "../places.ts";
import type { Lot } from "../types.ts";
import { page, gaps, lot as words } from "../words.ts";
import { duration } from "../models/quantities.ts";
import { BatchSheetTable } from "./batch_sheet_table.tsx";
import { Caution } from "./caution.tsx";
import { DeviationList } from "./deviation_list.tsx";
import { LotCharts } from "./lot_charts.tsx";
import { LotExport } from "./lot_export.tsx";
import "./lot_page.css";
import { LotPaper } from "./lot_paper.tsx";
import { LotVerdict } from "./lot_verdict.tsx";
import { MarkTable } from "./mark_table.tsx";
import { PhaseTable } from "./phase_table.tsx";
import { Sign } from "./sign.tsx";
import { WeighingTable } from "./weighing_table.tsx";

interface LotPageProps {
  workshop: WorkshopModel;
  id: string;
  /** The part of the page that was asked for, empty where none was. */
  part: string;
}

/** The record of one lot: what happened, and what was off. */
export function LotPage({ workshop, id, part }: LotPageProps): JSX.Element {
  const model = useLot(workshop, id);
  const lot = model.lot.value;
  const files = useFiles(workshop, id);
  if (model.missing.value) return <NoSuchLot />;
  if (lot === null) return <Waiting id={id} />;
  return (
    <>
      <LotHeader workshop={workshop} lot={lot} />
      <LotCharts
        workshop={workshop} lot={lot} curves={model.curves.value} goodLots={model.goodLots.value}
        mounted={files.mounted}
      />
      <div class="lot-grid">
        <LotVerdict workshop={workshop} model={model} lot={lot} />
        <DeviationList workshop={workshop} lot={lot} />
        <PhaseTable workshop={workshop} lot={lot} />
        <MarkTable workshop={workshop} marks={lot.marks} />
        <WeighingTable workshop={workshop} lot={lot} />
        <BatchSheetTable workshop={workshop} sheet={lot.batch_sheet} />
        <Gaps workshop={workshop} lot={lot} />
        <LotExport workshop={workshop} model={files} lot={lot} />
      </div>
      <LotPaper workshop={workshop} model={model} lot={lot} wanted={part === NOTES} />
      <Caution />
    </>
  );
}

/** How often the curves of a lot that is still open are fetched again. */
const REFRESH_MS = 10_000;

function useLot(workshop: WorkshopModel, id: string): LotModel {
  const model = useMemo(() => {
    const { feed, service } = workshop.outside;
    return new LotModel(id, feed, service, workshop.complaints);
  }, [workshop, id]);
  const [turn, next] = useState(0);
  const connection = workshop.connection.value;
  const open = model.lot.value?.state === "open";
  const began = model.lot.value?.phases.length ?? null;
  useEffect(() => () => model.close(), [model]);
  useEffect(() => {
    if (began !== null) void model.loadGoodLots(); // laid on the lot's phases, it grows with them
  }, [model, connection, began]);
  useEffect(() => {
    void model.load().then(() => model.loadCurves());
  }, [model, connection, turn]);
  useEffect(() => {
    if (!open) return undefined;
    const timer = window.setInterval(() => next((n) => n + 1), REFRESH_MS);
    return () => window.clearInterval(timer);
  }, [open]);
  return model;
}

function useFiles(workshop: WorkshopModel, id: string): ExportModel {
  return useMemo(() => {
    return new ExportModel(id, workshop.outside.service, workshop.complaints);
  }, [workshop, id]);
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

function LotHeader({ workshop, lot }: { workshop: WorkshopModel; lot: Lot }): JSX.Element {
  const wall = workshop.wall.value;
  const n = lot.deviations.length;
  return (
    <header class="lot-header">
      <h1>{words.title(lot.id)}: {lot.recipe.name}</h1>
      <p class={n > 0 ? "verdict deviating" : "verdict"}>
        <Sign name={n > 0 ? "medium" : "check"} />
        {words.verdict(n, lot.state === "open")}
      </p>
      <p>{words.opened} {wall.moment(lot.opened_at)}</p>
      {lot.closed_at === null
        ? <p>{words.stillOpen} · <a href={links.bench(lot.bench)}>{words.toBench}</a></p>
        : <p>{words.closed} {wall.moment(lot.closed_at)}</p>}
    </header>
  );
}

function Gaps({ workshop, lot }: { workshop: WorkshopModel; lot: Lot }): JSX.Element | null {
  const off = lot.clock_off.at(-1);
  const late = lot.late ?? [];
  if (lot.gaps.length + late.length === 0 && off === undefined) return null;
  const wall = workshop.wall.value;
  return (
    <section class="panel" aria-label={gaps.title}>
      <h2>{gaps.title}</h2>
      {lot.gaps.map(({ from, to }) => (
        <p key={from}>
          {gaps.one(wall.time(from), wall.time(to), between(from, to))}
        </p>
      ))}
      {off === undefined ? null : <p>{clockOff(wall.time(off.at), off.seconds)}</p>}
      {late.map(({ from, to, readings }) => (
        <p key={from}>{gaps.late(wall.time(from), wall.time(to), readings)}</p>
      ))}
    </section>
  );
}

function clockOff(at: string, seconds: number | null): string {
  if (seconds === null) return gaps.noClock(at);
  return gaps.clock(at, duration(Math.abs(seconds)), seconds < 0);
}

function between(from: string, to: string): string {
  return duration((Date.parse(to) - Date.parse(from)) / 1000);
}
