import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import { shrink } from "../feed/canvas_scaler.ts";
import type { LotModel } from "../models/lot.ts";
import { NotesModel } from "../models/notes.ts";
import { PhotographsModel } from "../models/photographs.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { NOTES } from "../places.ts";
import { notes as words } from "../words.ts";
import type { LotPanelProps } from "./lot_panel.ts";
import { LotNotes } from "./lot_notes.tsx";
import { LotPhotographs } from "./lot_photographs.tsx";

/** What people add to a lot's record, in words and pictures; pictures may be dropped on it. */
export function LotPaper({ workshop, model, lot, part }: LotPanelProps): JSX.Element {
  const wanted = part === NOTES;
  const panel = useRef<HTMLElement>(null);
  const [over, setOver] = useState(false);
  const { notes, photographs } = usePaper(workshop, model);
  useEffect(() => {
    if (!wanted) return;
    panel.current?.focus({ preventScroll: true });
    panel.current?.scrollIntoView();
  }, [wanted]);
  const hover = (event: DragEvent): void => {
    if (event.dataTransfer?.types.includes("Files") !== true) return;
    event.preventDefault();
    setOver(true);
  };
  const drop = (event: DragEvent): void => {
    event.preventDefault();
    setOver(false);
    void photographs.add(event.dataTransfer?.files ?? []);
  };
  const shared = { wall: workshop.wall.value };
  return (
    <section
      id={NOTES} ref={panel} tabIndex={-1} aria-label={words.title}
      class={over ? "panel wide lot-paper over" : "panel wide lot-paper"}
      onDragOver={hover} onDragLeave={() => setOver(false)} onDrop={drop}
    >
      <h2>{words.title}</h2>
      <p class="soft">{words.what}</p>
      <LotNotes {...shared} model={notes} notes={lot.notes} />
      <LotPhotographs {...shared} model={photographs} photographs={lot.photographs} />
    </section>
  );
}

interface Paper {
  notes: NotesModel;
  photographs: PhotographsModel;
}

function usePaper(workshop: WorkshopModel, model: LotModel): Paper {
  return useMemo(() => {
    const { service, keep } = workshop.outside;
    const shared = [model.id, service, workshop.complaints, keep] as const;
    const reload = (): Promise<void> => model.load();
    const make = (): PhotographsModel => new PhotographsModel(...shared, shrink);
    return {
      notes: new NotesModel(...shared, reload),
      photographs: workshop.photographs.of(model.id, reload, make),
    };
  }, [workshop, model]);
}
