/** A stretch of time that a chart shows; epoch seconds. */
export interface TimeSpan {
  from: number;
  to: number;
}

/** Closer than this there are hardly two readings to see. */
export const LEAST_S = 10;

export const lengthOf = ({ from, to }: TimeSpan): number => to - from;

export const middleOf = ({ from, to }: TimeSpan): number => (from + to) / 2;

export const holds = ({ from, to }: TimeSpan, at: number): boolean => at >= from && at <= to;

/** The span of this length that lies in `whole`, as near as can be to where it was. */
function inside(span: TimeSpan, whole: TimeSpan): TimeSpan {
  const length = Math.min(lengthOf(whole), lengthOf(span));
  const from = Math.min(Math.max(span.from, whole.from), whole.to - length);
  return { from, to: from + length };
}

/** A span that was asked for, in order, long enough and within the whole; null is all of it. */
export function spanWithin(asked: TimeSpan, whole: TimeSpan): TimeSpan | null {
  const [from, to] = [Math.min(asked.from, asked.to), Math.max(asked.from, asked.to)];
  const lacking = Math.max(0, LEAST_S - (to - from)) / 2;
  const span = inside({ from: from - lacking, to: to + lacking }, whole);
  return lengthOf(span) >= lengthOf(whole) ? null : span;
}

/** Makes a span `factor` times as long; the moment `at` keeps its place in it. */
export function zoomed(
  span: TimeSpan, whole: TimeSpan, factor: number, at: number,
): TimeSpan | null {
  const length = Math.max(LEAST_S, lengthOf(span) * factor);
  const share = (at - span.from) / lengthOf(span);
  const from = at - share * length;
  return spanWithin({ from, to: from + length }, whole);
}

/** The same length, `byS` seconds later, as far as the whole reaches. */
export function moved(span: TimeSpan, whole: TimeSpan, byS: number): TimeSpan | null {
  return spanWithin({ from: span.from + byS, to: span.to + byS }, whole);
}

/** The span moved no more than is needed to show a moment. */
export function showing(span: TimeSpan, whole: TimeSpan, at: number): TimeSpan | null {
  const byS = Math.min(0, at - span.from) + Math.max(0, at - span.to);
  return byS === 0 ? spanWithin(span, whole) : moved(span, whole, byS);
}

/** Longer by a share at either end: a line then runs on to the edge of the chart. */
export function widened(span: TimeSpan, share: number): TimeSpan {
  const room = lengthOf(span) * share;
  return { from: span.from - room, to: span.to + room };
}
