/** One value as the instrument showed it; `at` in seconds of the workshop's time. */
export interface ShownValue {
  at: number;
  value: number;
}

/** How long a display has stood still, and where it stands. */
export interface Steadiness {
  kind: "waiting" | "moving" | "steady";
  /** Seconds for which all values lie within a step of each other. */
  forS: number;
  /** How many seconds it takes to be steady. */
  needS: number;
  /** The latest value, null before the first. */
  latest: number | null;
  /** What is taken for the point: the mean while it stood still, to a thousandth. */
  value: number | null;
}

/** A thermometer in an ice bath creeps for long; our own bounds, no source. */
export const STEADY_S = { thermometer: 20, scale: 5 } as const;
/** Taken for the step of a display of which too little is known: 0.1 °C or 0.1 g. */
export const USUAL_STEP = 0.1;
/** Binary fractions: 0.3 - 0.2 is a little less than 0.1, 0.4 - 0.3 a little more. */
const ROUNDING = 1.001;

/** Tells whether the latest values stay within one step of the display for long enough. */
export function steadiness(
  values: readonly ShownValue[], step: number, needS: number,
): Steadiness {
  const last = values.at(-1);
  if (last === undefined) return { kind: "waiting", forS: 0, needS, latest: null, value: null };
  const still = values.slice(stillFrom(values, step * ROUNDING));
  const forS = last.at - (still[0]?.at ?? last.at);
  const kind = forS >= needS ? "steady" : "moving";
  return { kind, forS, needS, latest: last.value, value: mean(still.map((each) => each.value)) };
}

/** The place of the first of the latest values that all lie within `spread`. */
function stillFrom(values: readonly ShownValue[], spread: number): number {
  let [low, high] = [Infinity, -Infinity];
  for (let place = values.length - 1; place >= 0; place -= 1) {
    const { value } = values[place] ?? { value: NaN };
    [low, high] = [Math.min(low, value), Math.max(high, value)];
    if (high - low > spread) return place + 1;
  }
  return 0;
}

function mean(values: readonly number[]): number {
  const sum = values.reduce((total, value) => total + value, 0);
  return Math.round((sum / values.length) * 1000) / 1000;
}
