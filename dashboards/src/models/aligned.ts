/** Null is a gap. */
export type Value = number | null;

/** `undefined` means that this line has no point here and runs on; null is a gap. */
export type AlignedValue = Value | undefined;

export interface Line {
  t: readonly number[];
  value: readonly Value[];
}

export interface Aligned {
  t: number[];
  values: AlignedValue[][];
}

/** Puts lines of different times on one ascending axis without repeats, as a chart wants them. */
export function align(lines: readonly Line[]): Aligned {
  const t = [...new Set(lines.flatMap((line) => line.t))].sort((a, b) => a - b);
  return { t, values: lines.map((line) => spread(line, t)) };
}

function spread(line: Line, axis: readonly number[]): AlignedValue[] {
  let next = 0;
  return axis.map((t) => {
    if (line.t[next] !== t) return undefined;
    const value = line.value[next];
    next += 1;
    return value;
  });
}
