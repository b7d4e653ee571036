/** What was weighed against what it should have been; grams. */
export interface Weighed {
  grams: number;
  target: number;
  tolerance: number;
}

/** Figures of some weighings of one kind; grams. */
export interface Figures {
  n: number;
  mean: number;
  /** Of the sample, n − 1 in the divisor; null for a single weighing. */
  deviation: number | null;
  least: number;
  most: number;
  outside: number;
}

/** Hides what a sum of decimals adds: a weighing on the edge of its tolerance is within it. */
const HAIR = 1e-9;

export const differenceOf = ({ grams, target }: Weighed): number => grams - target;

/** Whether a weighing is further from its target than it may be. */
export function isOutside(weighed: Weighed): boolean {
  return Math.abs(differenceOf(weighed)) > weighed.tolerance + HAIR;
}

/**
 * Mean, standard deviation of the sample, range, and how many are outside; null without any.
 * NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.1 and 1.3.5.6.
 */
export function figuresOf(weighings: readonly Weighed[]): Figures | null {
  const n = weighings.length;
  if (n === 0) return null;
  const grams = weighings.map((weighed) => weighed.grams);
  const mean = sum(grams) / n;
  const squares = sum(grams.map((value) => (value - mean) ** 2));
  return {
    n, mean,
    deviation: n < 2 ? null : Math.sqrt(squares / (n - 1)),
    least: Math.min(...grams), most: Math.max(...grams),
    outside: weighings.filter(isOutside).length,
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
