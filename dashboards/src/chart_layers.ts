/** What lies behind and over a chart's lines: windows, good lots, phases, weighings, deviations. */

/** The drawing area as the chart library gives it; positions in device pixels. */
export interface Plot {
  readonly ctx: CanvasRenderingContext2D;
  readonly bbox: { left: number; top: number; width: number; height: number };
  valToPos(value: number, scale: string, devicePixels: boolean): number;
}

/** A window of values; where both ends are equal, a limit line. */
export interface ChartBand {
  low: number;
  high: number;
  label: string;
}

/** A stretch of time with a name: a phase, or a gap in the record. */
export interface ChartSpan {
  from: number;
  to: number;
  label: string;
  kind: "phase" | "gap";
}

export interface ChartMark {
  at: number;
  label: string;
  /** An addition is what goes into the pitcher: it is named even where there is little room. */
  kind: "weighing" | "addition" | "deviation";
}

/** What was usual over time: between `low` and `high` at each `t`. */
export interface ChartStretch {
  t: number[];
  low: number[];
  high: number[];
}

/** Everything on a chart but its lines. */
export interface ChartNotes {
  bands: ChartBand[];
  stretches: ChartStretch[];
  spans: ChartSpan[];
  marks: ChartMark[];
}

/** Width of a deviation's triangle, CSS pixels. */
const MARK_WIDTH = 18;

type Color = (name: string) => string;

interface Canvas {
  context: CanvasRenderingContext2D;
  plot: Plot;
  x: (at: number) => number;
  y: (value: number) => number;
  /** Device pixels per CSS pixel. */
  dots: number;
}

function canvas(plot: Plot): Canvas {
  return {
    context: plot.ctx,
    plot,
    x: (at) => plot.valToPos(at, "x", true),
    y: (value) => plot.valToPos(value, "y", true),
    dots: devicePixelRatio,
  };
}

/** Runs `paint` clipped to the area of the plot and leaves the canvas as it was. */
function inside(plot: Plot, paint: (on: Canvas) => void): void {
  const { left, top, width, height } = plot.bbox;
  plot.ctx.save();
  plot.ctx.beginPath();
  plot.ctx.rect(left, top, width, height);
  plot.ctx.clip();
  plot.ctx.setLineDash([]); // the last line's dashes stay set otherwise
  plot.ctx.font = `${13 * devicePixelRatio}px system-ui, sans-serif`;
  paint(canvas(plot));
  plot.ctx.restore();
}

/** What the lines are drawn upon. */
export function paintBehind(plot: Plot, notes: ChartNotes, color: Color): void {
  inside(plot, (on) => {
    for (const band of notes.bands) paintBand(on, band, color);
    for (const stretch of notes.stretches) paintStretch(on, stretch, color);
    for (const span of notes.spans) paintSpan(on, span, color);
  });
}

/** What is drawn upon the lines, so that it can be read. */
export function paintOver(plot: Plot, notes: ChartNotes, color: Color): void {
  inside(plot, (on) => {
    on.context.strokeStyle = color("--panel");
    on.context.lineWidth = 4 * on.dots;
    on.context.lineJoin = "round";
    for (const band of notes.bands) nameBand(on, band, color);
    nameSpans(on, notes.spans, color);
    paintMarks(on, notes.marks, color);
  });
}

function paintBand(on: Canvas, band: ChartBand, color: Color): void {
  const { left, width } = on.plot.bbox;
  const [top, bottom] = [on.y(band.high), on.y(band.low)];
  on.context.fillStyle = color("--band");
  on.context.fillRect(left, top, width, bottom - top);
  on.context.strokeStyle = color("--band-edge");
  on.context.lineWidth = on.dots;
  for (const edge of new Set([top, bottom])) line(on, left, edge, left + width, edge);
}

/** An area with a thin edge above and below; windows behind it still show. */
function paintStretch(on: Canvas, { t, low, high }: ChartStretch, color: Color): void {
  const along = (values: readonly number[]): [number, number][] =>
    values.slice(0, t.length).map((value, index) => [on.x(t[index] ?? 0), on.y(value)]);
  const [upper, lower] = [along(high), along(low)];
  on.context.globalAlpha = 0.7;
  on.context.fillStyle = color("--good-lots");
  trace(on, [...upper, ...lower.reverse()]);
  on.context.fill();
  on.context.globalAlpha = 1;
  on.context.strokeStyle = color("--good-lots-edge");
  on.context.lineWidth = on.dots;
  for (const edge of [upper, lower]) {
    trace(on, edge);
    on.context.stroke();
  }
}

function trace(on: Canvas, points: readonly [number, number][]): void {
  on.context.beginPath();
  for (const [x, y] of points) on.context.lineTo(x, y);
}

function nameBand(on: Canvas, band: ChartBand, color: Color): void {
  const { left, width } = on.plot.bbox;
  const [x, y] = [left + width - 6 * on.dots, on.y(band.high) - 4 * on.dots];
  const wide = on.context.measureText(band.label).width;
  on.context.globalAlpha = 0.8; // a ground of its own, through which the curves still show
  on.context.fillStyle = color("--panel");
  on.context.fillRect(x - wide - 4 * on.dots, y - 13 * on.dots, wide + 8 * on.dots, 17 * on.dots);
  on.context.globalAlpha = 1;
  label(on, band.label, x, y, color("--ink-soft"), "right");
}

function paintSpan(on: Canvas, span: ChartSpan, color: Color): void {
  const { top, height } = on.plot.bbox;
  const [from, to] = [on.x(span.from), on.x(span.to)];
  if (span.kind === "gap") {
    on.context.fillStyle = color("--gap");
    on.context.fillRect(from, top, to - from, height);
  }
  on.context.strokeStyle = color("--span-edge");
  on.context.lineWidth = on.dots;
  line(on, from, top, from, top + height);
}

/** Names the spans from left to right; a name without room is left out, the table has it. */
function nameSpans(on: Canvas, spans: readonly ChartSpan[], color: Color): void {
  const { left, top, width } = on.plot.bbox;
  let free = left;
  for (const span of spans) {
    if (on.x(span.to) < left) continue;
    const at = Math.max(on.x(span.from), left) + 4 * on.dots;
    const end = at + on.context.measureText(span.label).width;
    if (at < free || end > left + width) continue;
    label(on, span.label, at, top + 16 * on.dots, color("--ink"), "left");
    free = end + 6 * on.dots;
  }
}

/** Weighings are ticks at the bottom, deviations numbered triangles above them. */
function paintMarks(on: Canvas, marks: readonly ChartMark[], color: Color): void {
  const floor = on.plot.bbox.top + on.plot.bbox.height;
  const weighed = marks.filter(({ kind }) => kind !== "deviation");
  for (const { at, kind } of weighed) paintWeighing(on, on.x(at), floor, kind, color);
  nameWeighings(on, weighed, floor, color);
  const deviations = marks.filter(({ kind }) => kind === "deviation");
  const apart = gather(placedInside(deviations, on), on);
  for (const { x, label: text } of apart) paintDeviation(on, x, text, floor, color);
}

interface Placed {
  x: number;
  label: string;
}

/** The marks that are in sight, those at the edges moved inwards until they are whole. */
function placedInside(marks: readonly ChartMark[], on: Canvas): Placed[] {
  const { left, width } = on.plot.bbox;
  const half = (MARK_WIDTH / 2) * on.dots;
  return marks.map(({ at, label: text }) => ({ x: on.x(at), label: text }))
    .filter(({ x }) => x >= left && x <= left + width)
    .map(({ x, label: text }) => ({
      x: Math.min(left + width - half, Math.max(left + half, x)), label: text,
    }));
}

/** Puts marks that would cover each other into one, with all their numbers. */
function gather(placed: readonly Placed[], on: Canvas): Placed[] {
  const sorted = [...placed].sort((a, b) => a.x - b.x);
  return sorted.reduce<Placed[]>((kept, mark) => {
    const last = kept.at(-1);
    if (last === undefined || mark.x - last.x > MARK_WIDTH * on.dots) return [...kept, mark];
    return [...kept.slice(0, -1), { x: last.x, label: `${last.label}, ${mark.label}` }];
  }, []);
}

function paintWeighing(
  on: Canvas, x: number, floor: number, kind: ChartMark["kind"], color: Color,
): void {
  const height = kind === "addition" ? 18 : 10;
  on.context.strokeStyle = color("--ink");
  on.context.lineWidth = 2 * on.dots;
  line(on, x, floor - height * on.dots, x, floor);
}

/** Names what was weighed beside its tick; additions first, then vessels where there is room. */
function nameWeighings(
  on: Canvas, marks: readonly ChartMark[], floor: number, color: Color,
): void {
  const taken: [number, number][] = marks.map(({ at }) => [on.x(at), on.x(at) + on.dots]);
  const { left, width } = on.plot.bbox;
  on.context.strokeStyle = color("--panel"); // a rim for the words
  on.context.lineWidth = 4 * on.dots;
  for (const { at, label: text } of [...marks].sort(byKind)) {
    const from = on.x(at) + 4 * on.dots;
    const to = from + on.context.measureText(text).width;
    const free = taken.every(([start, end]) => end < from || start > to + 4 * on.dots);
    if (!free || from < left || to > left + width) continue;
    label(on, text, from, floor - 2 * on.dots, color("--ink-soft"), "left");
    taken.push([from, to]);
  }
}

function byKind(a: ChartMark, b: ChartMark): number {
  return Number(b.kind === "addition") - Number(a.kind === "addition") || a.at - b.at;
}

function paintDeviation(on: Canvas, x: number, text: string, floor: number, color: Color): void {
  const [half, base] = [(MARK_WIDTH / 2) * on.dots, floor - 14 * on.dots];
  on.context.fillStyle = color("--high");
  on.context.beginPath();
  on.context.moveTo(x, base - 2 * half);
  on.context.lineTo(x + half, base);
  on.context.lineTo(x - half, base);
  on.context.fill();
  on.context.strokeStyle = color("--panel");
  on.context.lineWidth = 4 * on.dots;
  label(on, text, x, base - 2 * half - 4 * on.dots, color("--ink"), "center");
}

function line(on: Canvas, x0: number, y0: number, x1: number, y1: number): void {
  on.context.beginPath();
  on.context.moveTo(x0, y0);
  on.context.lineTo(x1, y1);
  on.context.stroke();
}

function label(
  on: Canvas, text: string, x: number, y: number, fill: string, align: CanvasTextAlign,
): void {
  on.context.textAlign = align;
  on.context.textBaseline = "alphabetic";
  on.context.strokeText(text, x, y); // a rim, so that lines and edges do not run through it
  on.context.fillStyle = fill;
  on.context.fillText(text, x, y);
}
