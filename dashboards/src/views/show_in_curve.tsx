import type { JSX } from "preact";
import type { CurveView, Origin } from "../models/curve_view.ts";
import { curve as words } from "../words.ts";

interface ShowProps {
  view: CurveView;
  /** RFC 3339. */
  at: string;
  /** What it is that is shown, also for the way back. */
  name: string;
}

/** A button in a list that moves the curve to a moment. */
export function ShowInCurve({ view, at, name }: ShowProps): JSX.Element {
  const element = `shows-${name.replace(/\W+/g, "-")}-${Date.parse(at)}`;
  return (
    <button
      type="button" class="show-in-curve" id={element} aria-label={words.showThat(name)}
      onClick={() => view.show(Date.parse(at) / 1000, { element, name })}
    >
      {words.show}
    </button>
  );
}

/** Goes back to the row that led to the curve. */
export function returnTo(view: CurveView, { element }: Origin): void {
  view.origin.value = null;
  const row = document.getElementById(element);
  row?.focus({ preventScroll: true });
  row?.scrollIntoView({ block: "center" });
}
