import { useEffect } from "preact/hooks";
import type { JSX } from "preact";
import { exportAddress } from "../feed/service.ts";
import { fileSize } from "../models/file_size.ts";
import type { ExportModel } from "../models/lot_export.ts";
import type { ExportFormat } from "../types.ts";
import { chart, exports as words, lot as lotWords, page } from "../words.ts";
import "./lot_export.css";
import type { LotPanelProps } from "./lot_panel.ts";
import { Sign } from "./sign.tsx";

/** The lot as a file: a link for each format, and a button that saves the chart. */
export function LotExport({ workshop, screen: { files: model }, lot }: LotPanelProps): JSX.Element {
  const connection = workshop.connection.value;
  useEffect(() => void model.load(), [model, connection, lot.state]);
  const offer = model.offer.value;
  const headings = [
    `${lotWords.title(lot.id)}: ${lot.recipe.name}`,
    `${chart.lotTemperatures}, ${workshop.wall.value.day(lot.opened_at)}`,
  ];
  return (
    <section class="panel lot-export" aria-label={words.title}>
      <h2>{words.title}</h2>
      <p>
        {offer === null ? page.loading : words.readings(offer.readings, lot.state === "open")}
      </p>
      {offer?.readings_removed === true
        ? <p class="removed"><Sign name="medium" /> {words.removed}</p>
        : null}
      <ul>
        {(offer?.formats ?? []).map((format) => (
          <li key={format.format}><FormatLink model={model} format={format} /></li>
        ))}
        <li>
          <button type="button" onClick={() => void model.savePicture(headings, saved)}>
            <strong>{words.picture.name}</strong> <span>{words.picture.what}</span>
          </button>
        </li>
      </ul>
      <p role="status">{said(model)}</p>
    </section>
  );
}

function FormatLink({ model, format }: { model: ExportModel; format: ExportFormat }): JSX.Element {
  const { name, what } = words.formats[format.format];
  if (format.unavailable !== null) {
    return <p class="unavailable"><strong>{name}</strong> <span>{format.unavailable}</span></p>;
  }
  return (
    <a
      href={exportAddress(model.id, format.format)} download={format.file}
      onClick={() => model.ask(format.file)}
    >
      <strong>{name}</strong> <span>{what}, {words.about(fileSize(format.bytes))}</span>
    </a>
  );
}

function said(model: ExportModel): string {
  const asked = model.asked.value;
  if (asked !== null) return words.asked(asked);
  return {
    none: "", drawing: words.drawing, saved: words.saved(model.pictureName), failed: words.failed,
  }[model.picture.value];
}

/** Hands a file over to the browser, as a link to it would. */
function saved(file: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  // Not at once: the browser fetches it after this turn.
  window.setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
