import { useEffect } from "preact/hooks";
import type { JSX } from "preact";
import type { BenchModel } from "../models/bench.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Mark } from "../types.ts";
import { bench as words } from "../words.ts";
import { onFreeKey } from "./free_keys.ts";
import "./mark_button.css";

interface MarkProps {
  workshop: WorkshopModel;
  bench: BenchModel;
}

/** The one big button: says what it marks, and afterwards what it marked. */
export function MarkButton({ workshop, bench }: MarkProps): JSX.Element {
  useEffect(() => onFreeKey([" ", "Enter"], () => {
    if (bench.canMark()) void bench.mark();
  }), [bench]);
  const next = bench.state.value?.next_mark ?? null;
  return (
    <div class={next === null ? "marking" : "marking ready"}>
      <button
        type="button" class="mark-button" disabled={!bench.canMark()}
        onClick={() => void bench.mark()}
      >
        {next === null ? words.noMark : markText(next)}
        {next === null ? null : <small>{words.markKey}</small>}
      </button>
      <p class="marked soft" role="status">{markedText(workshop, bench)}</p>
    </div>
  );
}

function markText({ phase, edge }: Mark): string {
  return edge === "begin" ? words.markBegin(phase) : words.markEnd(phase);
}

function markedText(workshop: WorkshopModel, bench: BenchModel): string {
  const marked = bench.marked.value;
  if (marked === null) return "";
  return words.marked(marked.phase, marked.edge, workshop.wall.value.time(marked.at));
}
