import type { JSX } from "preact";
import type { Latest } from "../models/instruments.ts";
import { temperature, temperatureStep, text } from "../models/quantities.ts";
import { holdsWax, standing, windowMatters } from "../models/verdicts.ts";
import type { Standing } from "../models/verdicts.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { BenchState, Bounds, Display, Instrument, Role, TemperatureTask } from "../types.ts";
import { reading, temperature as words } from "../words.ts";
import { Chip, Figure, ReadingChip } from "./figure.tsx";
import { ForecastLine } from "./forecast_line.tsx";
import { Gauge } from "./gauge.tsx";

/** Degrees Celsius shown on either side of the window. */
const AROUND = 15;

interface TemperatureProps {
  workshop: WorkshopModel;
  state: BenchState;
  within?: string;
}

/** The temperature that matters now, its window, and how the one stands to the other. */
export function TemperatureFigure(props: TemperatureProps): JSX.Element {
  const { workshop } = props;
  const window = props.state.temperature ?? idleWindow(workshop, props.state.bench);
  const { instruments, preferences } = workshop;
  const display = preferences.display.value;
  const latest = window === null ? null : instruments.latest(window.channel);
  const usable = latest !== null && latest.quality !== "bad";
  return (
    <Figure
      name="temperature" title={words.title} within={props.within}
      aside={window === null ? words.none : asideText(window, display)}
      shown={usable ? temperature(latest.value, display) : null}
      doubtful={usable && instruments.isStale(latest)}
    >
      {window === null ? null : (
        <Verdict
          workshop={workshop} latest={latest} window={window} matters={windowMatters(props.state)}
        />
      )}
      {window === null || latest === null || !isFresh(workshop, latest)
        ? null
        : <ForecastLine workshop={workshop} at={props.state.at} task={window} />}
    </Figure>
  );
}

/** Nothing is asked of the temperature, and nothing foretold. */
const IDLE: Omit<TemperatureTask, "channel"> = {
  what: null, low: null, high: null, opens_in_s: null, closes_in_s: null, trend_degc_per_min: null,
  why: null,
};

/** With no temperature that matters, the pot's is shown, else the pitcher's: wax may be hot. */
function idleWindow(workshop: WorkshopModel, bench: string): BenchState["temperature"] {
  const here = workshop.instruments.at(bench);
  const first = (wanted: Role): Instrument | undefined => here.find(({ role }) => role === wanted);
  const shown = first("pot") ?? first("pitcher");
  return shown === undefined ? null : { ...IDLE, channel: shown.name };
}

interface VerdictProps {
  workshop: WorkshopModel;
  latest: Latest | null;
  window: Bounds;
  /** Whether wax below the window would be a mistake now. */
  matters: boolean;
}

function Verdict({ workshop, latest, window, matters }: VerdictProps): JSX.Element {
  if (latest === null) return <Chip kind="wrong" sign="pause" text={reading.none} />;
  const fresh = isFresh(workshop, latest);
  const cold = matters ? "off" : "calm";
  return (
    <>
      {fresh ? <WindowGauge value={latest.value} window={window} /> : null}
      <div class="figure-verdict">
        {fresh && holdsWax(latest.value, window)
          ? <StandingChip workshop={workshop} at={standing(latest.value, window)} cold={cold} />
          : null}
        <ReadingChip
          latest={latest} instruments={workshop.instruments} wall={workshop.wall.value}
        />
      </div>
    </>
  );
}

function isFresh({ instruments }: WorkshopModel, latest: Latest): boolean {
  return latest.quality !== "bad" && !instruments.isStale(latest);
}

interface StandingProps {
  workshop: WorkshopModel;
  at: Standing;
  /** How much it stands out that the wax is too cool; too warm waits by itself. */
  cold: "off" | "calm";
}

function StandingChip(props: StandingProps): JSX.Element | null {
  const { at } = props;
  const by = (degrees: number): string =>
    text(temperatureStep(degrees, props.workshop.preferences.display.value));
  switch (at.kind) {
    case "open": return null;
    case "inside": return <Chip kind="calm" sign="check" text={words.inside} />;
    case "below": return <Chip kind={props.cold} sign="down" text={words.below(by(at.by))} />;
    case "above": return <Chip kind="calm" sign="up" text={words.above(by(at.by))} />;
  }
}

function WindowGauge(props: { value: number; window: Bounds }): JSX.Element | null {
  const { low, high } = props.window;
  if (low === null || high === null) return null;
  return (
    <Gauge from={low - AROUND} to={high + AROUND} low={low} high={high} value={props.value} />
  );
}

function asideText(task: TemperatureTask, display: Display): string {
  const purpose = task.what === null ? "" : ` ${words.purpose[task.what]}`;
  return `${task.channel} · ${windowText(task, display)}${purpose}`;
}

/** A window in words and numbers: "80.0 – 85.0 °C". */
export function windowText(bounds: Bounds, display: Display): string {
  const low = bounds.low === null ? null : temperature(bounds.low, display);
  const high = bounds.high === null ? null : temperature(bounds.high, display);
  if (low !== null && high !== null) return words.window(low.digits, high.digits, high.unit);
  if (low !== null) return words.atLeast(low.digits, low.unit);
  return high === null ? words.noWindow : words.atMost(high.digits, high.unit);
}
