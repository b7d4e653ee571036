/** The only file that knows the chart library. */
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { paintBehind, paintOver } from "./chart_layers.ts";
import type { ChartNotes } from "./chart_layers.ts";
import { pictureFile } from "./chart_picture.ts";
import { ChartPointer } from "./chart_pointer.ts";
import type { Pointing } from "./chart_pointer.ts";
import type { AlignedValue } from "./models/aligned.ts";

/** Four for what is measured, three for other lots beside this one. */
export type LineStyle = 0 | 1 | 2 | 3 | 4 | 5 | 6;

export interface ChartLine {
  label: string;
  /** Which of the line styles; style and label tell lines apart, color only helps. */
  style: LineStyle;
  values: AlignedValue[];
}

/** What a chart shows; times in epoch seconds, values in the unit on the axis. */
export interface Picture extends ChartNotes {
  t: number[];
  from: number;
  to: number;
  lines: ChartLine[];
}

export interface ChartOptions {
  height: number;
  unit: string;
  /** Writes a time on the axis, whose ticks are `stepS` apart. */
  time: (epochS: number, stepS: number) => string;
  /** Who wants to know what a hand does on the chart. */
  pointing?: Pointing | null;
}

export interface MountedChart {
  show(picture: Picture): void;
  /** Shows a cursor at a moment (epoch seconds), null hides it; only where there is a `pointing`. */
  point(at: number | null): void;
  /** The chart as a PNG under headings; null where nothing is drawn yet. */
  picture(headings: string[]): Promise<Blob | null>;
  destroy(): void;
}

/** At most two redraws a second: drawing, not data, is what costs. */
const REDRAW_MS = 500;
/** A chart under a hand follows it. */
const POINTED_MS = 40;
const DASHES: readonly number[][] = [[], [8, 4], [2, 3], [12, 3, 2, 3], [14, 6], [6, 3], [1, 4]];
const TIME_STEPS_S = [1, 5, 15, 30, 60, 300, 600, 900, 1800, 3600, 7200, 14400, 43200, 86400];
const FONT = "14px system-ui, sans-serif";
/** Room for the labels of spans and marks above the lines. */
const TOP_SHARE = 0.16;
/** Room for weighings and deviations below them. */
const BOTTOM_SHARE = 0.14;

/** Puts a chart into `host`; it follows the host's width and the color scheme. */
export function mountChart(host: HTMLElement, options: ChartOptions): MountedChart {
  let picture: Picture | null = null;
  let plot: uPlot | null = null;
  let shape = "";
  let timer: number | null = null;
  let drawnAt = -Infinity;
  const pointer = options.pointing ? new ChartPointer(options.pointing) : null;

  const draw = (): void => {
    timer = null;
    if (picture === null || document.hidden) return;
    const needed = picture.lines.map((line) => `${line.label}${line.style}`).join("|");
    if (plot === null || shape !== needed) {
      plot?.destroy();
      plot = build(host, options, picture, () => picture, pointer);
      shape = needed;
    }
    plot.setData([picture.t, ...picture.lines.map((line) => line.values)], false);
    plot.setScale("x", { min: picture.from, max: picture.to });
    // The first curve is waited for, and follows an empty chart at once.
    drawnAt = picture.t.length === 0 ? -Infinity : performance.now();
  };
  const soon = (): void => {
    const pace = pointer === null ? REDRAW_MS : POINTED_MS;
    timer ??= window.setTimeout(draw, Math.max(0, drawnAt + pace - performance.now()));
  };
  const rebuild = (): void => {
    shape = "";
    soon();
  };
  const resize = (width: number): void => plot?.setSize({ width, height: options.height });
  const leave = follow(host, resize, rebuild, soon);
  return {
    show(next) {
      picture = next;
      soon();
    },
    point(at) {
      pointer?.show(at);
    },
    async picture(headings) {
      if (plot === null || picture === null) return null;
      return pictureFile(plot.ctx.canvas, headings, picture.lines, colorsOf(host), DASHES);
    },
    destroy() {
      leave();
      if (timer !== null) window.clearTimeout(timer);
      plot?.destroy();
    },
  };
}

/** Watches the width, the color scheme and whether anybody can see the page. */
function follow(
  host: HTMLElement, resized: (width: number) => void, recolored: () => void, seen: () => void,
): () => void {
  const sizes = new ResizeObserver(() => resized(host.clientWidth));
  const dark = window.matchMedia("(prefers-color-scheme: dark)");
  sizes.observe(host);
  dark.addEventListener("change", recolored);
  document.addEventListener("visibilitychange", seen);
  return () => {
    sizes.disconnect();
    dark.removeEventListener("change", recolored);
    document.removeEventListener("visibilitychange", seen);
  };
}

function build(
  host: HTMLElement, options: ChartOptions, first: Picture, picture: () => Picture | null,
  pointer: ChartPointer | null,
): uPlot {
  const color = colorsOf(host);
  const layers = (paint: typeof paintOver) => (plot: uPlot): void => {
    const shown = picture();
    if (shown !== null) paint(plot, shown, color);
  };
  return new uPlot({
    width: host.clientWidth,
    height: options.height,
    legend: { show: false },
    cursor: { show: false },
    scales: { x: { time: false }, y: { range: (_plot, low, high) => room(low, high, picture()) } },
    axes: axes(options, color),
    series: [{}, ...first.lines.map((line) => series(line, color))],
    plugins: pointer === null ? [] : [pointer.plugin()],
    hooks: { drawClear: [layers(paintBehind)], draw: [layers(paintOver)] },
  }, [first.t, ...first.lines.map((line) => line.values)], host);
}

type Color = (name: string) => string;

function colorsOf(host: HTMLElement): Color {
  const style = getComputedStyle(host);
  return (name) => style.getPropertyValue(name).trim();
}

function series(line: ChartLine, color: Color): uPlot.Series {
  return {
    label: line.label,
    stroke: color(`--line-${line.style}`),
    // One device pixel is far the cheapest; at 2 m it needs two on an ordinary screen.
    width: Math.min(2, Math.max(2 / devicePixelRatio, 1)),
    dash: DASHES[line.style] ?? [],
    points: { show: false },
  };
}

function axes(options: ChartOptions, color: Color): uPlot.Axis[] {
  const look = {
    stroke: color("--ink-soft"),
    font: FONT,
    grid: { stroke: color("--grid"), width: 1 },
    ticks: { show: false },
  };
  return [
    {
      ...look, size: 28, incrs: TIME_STEPS_S, space: 80,
      values: (_plot, at, _axis, _space, stepS) => at.map((time) => options.time(time, stepS)),
    },
    { ...look, size: 64, values: (_p, at) => at.map((value) => tick(value, options.unit)) },
  ];
}

function tick(value: number, unit: string): string {
  return `${value < 0 ? "\u2212" : ""}${Math.abs(value)} ${unit}`;
}

/** The range of the values, with every band and good lot in it and room above for the labels. */
function room(low: number | null, high: number | null, picture: Picture | null): [number, number] {
  const bounds = (picture?.bands ?? []).flatMap((band) => [band.low, band.high]);
  const usual = (picture?.stretches ?? []).flatMap((stretch) => [...stretch.low, ...stretch.high]);
  const all = [low, high, ...bounds, ...usual].filter((value) => value !== null);
  if (all.length === 0) return [0, 1];
  const [bottom, top] = [Math.min(...all), Math.max(...all)];
  const span = Math.max(1, top - bottom);
  return [bottom - span * BOTTOM_SHARE, top + span * TOP_SHARE];
}
