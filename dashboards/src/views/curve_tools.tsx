import type { JSX } from "preact";
import type { LotScreen } from "../models/lot_screen.ts";
import { curve as words } from "../words.ts";

const CLOSER = 0.5;
const MOVE = 0.5;

/** Buttons for all that a hand can do on the curve, and the part that is shown. */
export function CurveTools({ screen }: { screen: LotScreen }): JSX.Element {
  const { view, fine, workshop } = screen;
  const wall = workshop.wall.value;
  const { from, to } = view.shown.value;
  const whole = view.span.value === null;
  const tool = (name: string, act: () => void, idle = false): JSX.Element => (
    <button type="button" aria-disabled={idle} onClick={() => idle || act()}>{name}</button>
  );
  return (
    <div class="curve-tools" role="group" aria-label={words.tools}>
      {tool(words.zoomIn, () => view.zoom(CLOSER))}
      {tool(words.zoomOut, () => view.zoom(1 / CLOSER), whole)}
      {tool(words.earlier, () => view.move(-MOVE), whole)}
      {tool(words.later, () => view.move(MOVE), whole)}
      {tool(words.whole, () => view.showWhole(), whole)}
      <p class="digits">{words.span(wall.time(from * 1000), wall.time(to * 1000))}</p>
      <p role="status" class="loading">
        {fine.loading.value ? <><progress aria-label={words.loading} /> {words.loading}</> : null}
      </p>
    </div>
  );
}
