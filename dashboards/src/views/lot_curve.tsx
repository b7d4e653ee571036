import { useEffect, useId, useRef } from "preact/hooks";
import type { JSX } from "preact";
import type { LotScreen } from "../models/lot_screen.ts";
import { curve as words } from "../words.ts";
import { CurveLegend } from "./curve_legend.tsx";
import { CurveReadOut } from "./curve_read_out.tsx";
import { CurveTools } from "./curve_tools.tsx";
import { LotCharts } from "./lot_charts.tsx";
import "./lot_curve.css";
import type { LotPanelProps } from "./lot_panel.ts";

/** The curves of a lot, to be looked at closely by hand, by finger or by key. */
export function LotCurve({ screen, lot }: LotPanelProps): JSX.Element {
  const hint = useId();
  return (
    <section class="panel wide lot-curve" aria-label={words.title}>
      <h2>{words.title}</h2>
      <CurveTools screen={screen} />
      <Surface screen={screen} hint={hint}>
        <CurveReadOut screen={screen} lot={lot} />
      </Surface>
      <CurveLegend
        view={screen.view} lines={screen.lines.value}
        goodLots={screen.record.goodLots.value !== null}
      />
      <p class="soft hint" id={hint}>{words.hint}</p>
    </section>
  );
}

interface SurfaceProps {
  screen: LotScreen;
  /** The id of the element that says which keys there are. */
  hint: string;
  children: JSX.Element;
}

/** The charts below their read-out; they take the focus and the keys. */
function Surface({ screen, hint, children }: SurfaceProps): JSX.Element {
  const host = useRef<HTMLDivElement>(null);
  const origin = screen.view.origin.value;
  useEffect(() => {
    if (origin === null) return;
    host.current?.focus({ preventScroll: true });
    host.current?.parentElement?.scrollIntoView({ block: "start" });
  }, [origin]);
  const press = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (screen.view.press(event.key, event.shiftKey)) event.preventDefault();
  };
  return (
    <div class="curve-surface">
      {children}
      <div
        class="curve-charts" ref={host} role="group" tabIndex={0} aria-label={words.label}
        aria-describedby={hint} onKeyDown={press}
      >
        <LotCharts screen={screen} />
      </div>
    </div>
  );
}
