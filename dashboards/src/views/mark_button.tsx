import { useEffect } from "preact/hooks";
import type { JSX } from "preact";
import { isAwaited } from "../models/bench.ts";
import type { BenchModel } from "../models/bench.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { BenchState, Mark } from "../types.ts";
import { bench as words } from "../words.ts";
import { onFreeKey } from "./free_keys.ts";
import "./mark_button.css";

interface MarkProps {
  workshop: WorkshopModel;
  bench: BenchModel;
}

/** The one big button: says what it marks, and afterwards what it marked. */
export function MarkButton({ workshop, bench }: MarkProps): JSX.Element {
  const foot = workshop.footSwitch.key.value;
  useEffect(() => onFreeKey([" ", "Enter", ...(foot === null ? [] : [foot])], () => {
    if (bench.canMark()) void bench.mark();
  }), [bench, foot]);
  const state = bench.state.value;
  const next = state?.next_mark ?? null;
  return (
    <div class={markingClass(state)}>
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

function markingClass(state: BenchState | null): string {
  const next = state?.next_mark ?? null;
  if (state === null || next === null) return "marking";
  return isAwaited(next, state.steps) ? "marking awaited" : "marking";
}

function markText({ phase, edge }: Mark): string {
  return edge === "begin" ? words.markBegin(phase) : words.markEnd(phase);
}

function markedText(workshop: WorkshopModel, bench: BenchModel): string {
  const marked = bench.marked.value;
  if (marked === null) return "";
  return words.marked(marked.phase, marked.edge, workshop.wall.value.time(marked.at));
}
