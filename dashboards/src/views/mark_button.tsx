import { useLayoutEffect, useRef } from "preact/hooks";
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

/** The one big button: says what it marks, afterwards what it marked, and takes that back. */
export function MarkButton({ workshop, bench }: MarkProps): JSX.Element {
  const foot = workshop.footSwitch.key.value;
  useLayoutEffect(() => onFreeKey([" ", "Enter", ...(foot === null ? [] : [foot])], () => {
    if (bench.canMark()) void bench.mark();
  }), [bench, foot]);
  useLayoutEffect(() => onFreeKey(["u", "U"], () => void bench.undo()), [bench]);
  const place = useRef<HTMLDivElement>(null);
  const state = bench.state.value;
  const next = state?.next_mark ?? null;
  return (
    <div class={markingClass(state)} ref={place} tabIndex={-1}>
      <button
        type="button" class="mark-button" disabled={!bench.canMark()}
        onClick={() => void bench.mark()}
      >
        {next === null ? words.noMark : markText(next)}
        {next === null ? null : <small>{words.markKey}</small>}
      </button>
      <div class="marked">
        <p class="soft" role="status">{markedText(workshop, bench)}</p>
        <Undo bench={bench} leave={() => place.current?.focus()} />
      </div>
    </div>
  );
}

/**
 * Offered while the mark can be taken back. Pressed, it gives the focus away with `leave`: the
 * space bar marks again then, and does not press what may be offered here next.
 */
function Undo({ bench, leave }: { bench: BenchModel; leave: () => void }): JSX.Element | null {
  const mark = bench.undoable.value;
  if (mark === null) return null;
  const press = (): void => {
    leave();
    void bench.undo();
  };
  return (
    <button type="button" class="undo" onClick={press}>
      {words.undo(mark.phase, mark.edge)} <small>{words.undoKey}</small>
    </button>
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
  const wall = workshop.wall.value;
  const taken = bench.takenBack.value;
  if (taken !== null) return words.takenBack(taken.phase, taken.edge, wall.time(taken.at));
  const marked = bench.undoable.value;
  return marked === null ? "" : words.marked(marked.phase, marked.edge, wall.time(marked.at));
}
