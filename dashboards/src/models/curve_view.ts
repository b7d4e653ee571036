import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { holds, lengthOf, middleOf, moved, showing, spanWithin, zoomed } from "./time_span.ts";
import type { TimeSpan } from "./time_span.ts";

/** How far one press of a key moves the cursor or the span, and zooms. */
const STEP = 0.01;
const STRIDE = 0.1;
const MOVE = 0.25;
const CLOSER = 0.5;
/** How long a stretch is shown about something that is looked for; seconds. */
const ABOUT_S = 180;

/** A row of a list that led to the curve, so that one finds back. */
export interface Origin {
  /** The id of its element. */
  element: string;
  name: string;
}

type Act = (view: CurveView) => void;

const KEYS: Readonly<Record<string, Act>> = {
  "ArrowLeft": (view) => view.step(-STEP),
  "ArrowRight": (view) => view.step(STEP),
  "Shift+ArrowLeft": (view) => view.step(-STRIDE),
  "Shift+ArrowRight": (view) => view.step(STRIDE),
  "PageUp": (view) => view.move(-MOVE),
  "PageDown": (view) => view.move(MOVE),
  "+": (view) => view.zoom(CLOSER),
  "=": (view) => view.zoom(CLOSER),
  "-": (view) => view.zoom(1 / CLOSER),
  "Home": (view) => view.showWhole(),
  "0": (view) => view.showWhole(),
  "Escape": (view) => view.point(null),
};

/** What of a lot's curves is looked at: the span, the moment of the read-out, the lines. */
export class CurveView {
  /** All there is to see; epoch seconds. */
  readonly whole = signal<TimeSpan>({ from: 0, to: 1 });
  /** The part that was chosen; null is the whole. */
  readonly span = signal<TimeSpan | null>(null);
  readonly shown: ReadonlySignal<TimeSpan>;
  /** The moment that is read out; epoch seconds, null where nothing is pointed at. */
  readonly cursor = signal<number | null>(null);
  /** The lines that were switched off, by their label. */
  readonly hidden = signal<ReadonlySet<string>>(new Set());
  readonly origin = signal<Origin | null>(null);
  /** Counts what was done by key, which is read aloud. */
  readonly keyed = signal(0);

  constructor(span: TimeSpan | null) {
    this.span.value = span;
    this.shown = computed(() => {
      const asked = this.span.value;
      return (asked && spanWithin(asked, this.whole.value)) ?? this.whole.value;
    });
  }

  /** Shows the part between two moments, in either order. */
  choose(from: number, to: number): void {
    this.span.value = spanWithin({ from, to }, this.whole.value);
  }

  /** Shows `factor` times as much; `at` stays where it is, else the cursor, else the middle. */
  zoom(factor: number, at: number | null = null): void {
    const shown = this.shown.value;
    const cursor = this.cursor.value;
    const pointed = cursor !== null && holds(shown, cursor) ? cursor : middleOf(shown);
    this.span.value = zoomed(shown, this.whole.value, factor, at ?? pointed);
  }

  /** Moves the span by a share of its length. */
  move(share: number): void {
    this.shift(lengthOf(this.shown.value) * share);
  }

  shift(byS: number): void {
    this.span.value = moved(this.shown.value, this.whole.value, byS);
  }

  showWhole(): void {
    this.span.value = null;
  }

  point(at: number | null): void {
    this.cursor.value = at;
  }

  /** Moves the cursor by a share of the span, which goes along with it. */
  step(share: number): void {
    const [shown, whole] = [this.shown.value, this.whole.value];
    const at = this.cursor.value ?? middleOf(shown);
    const next = at + lengthOf(shown) * share;
    this.cursor.value = Math.min(whole.to, Math.max(whole.from, next));
    this.span.value = showing(shown, whole, this.cursor.value);
  }

  /** Does what a key stands for; tells whether it stands for anything. */
  press(key: string, shift: boolean): boolean {
    const act = (shift ? KEYS[`Shift+${key}`] : undefined) ?? KEYS[key];
    if (act === undefined) return false;
    act(this);
    this.keyed.value += 1;
    return true;
  }

  /** Brings a moment of a list into sight. */
  show(at: number, origin: Origin): void {
    this.origin.value = origin;
    this.choose(at - ABOUT_S / 2, at + ABOUT_S / 2);
    this.cursor.value = at;
  }

  toggle(label: string): void {
    const next = new Set(this.hidden.value);
    if (!next.delete(label)) next.add(label);
    this.hidden.value = next;
  }
}
