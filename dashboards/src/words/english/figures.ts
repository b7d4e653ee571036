import type { Ahead, TimeUnit } from "../time_ahead.ts";

export const temperature = {
  title: "Temperature",
  window: (low: string, high: string, unit: string) => `${low} – ${high} ${unit}`,
  atLeast: (low: string, unit: string) => `at least ${low} ${unit}`,
  atMost: (high: string, unit: string) => `at most ${high} ${unit}`,
  noWindow: "no window now",
  inside: "in the window",
  below: (by: string) => `${by} below the window`,
  above: (by: string) => `${by} above the window`,
  purpose: { add: "to add fragrance", pour: "to pour" },
  none: "No thermometer at this bench",
};

const UNITS_OF_TIME: Record<TimeUnit, string> = { s: "s", min: "min", h: "h" };

export const forecast = {
  trend: {
    falling: (rate: string) => `falling ${rate} per min`,
    rising: (rate: string) => `rising ${rate} per min`,
    steady: () => "steady",
  },
  ahead: (ahead: Ahead) => {
    if (ahead.kind === "now") return "any moment now";
    const unit = UNITS_OF_TIME[ahead.unit];
    if (ahead.kind === "about") return `in about ${ahead.n} ${unit}`;
    if (ahead.from === 0) return `within ${ahead.to} ${unit}`;
    return `in ${ahead.from} to ${ahead.to} ${unit}`;
  },
  opens: (when: string) => `opens ${when}`,
  closes: (when: string) => `closes ${when}`,
  window: (parts: string[]) => `Window ${parts.join(", ")}`,
};

export const reading = {
  none: "no reading yet",
  old: (value: string, age: string) => `${value}, ${age} ago`,
  at: (value: string, time: string) => `${value}, typed in at ${time}`,
  stale: {
    old: (age: string) => `stale: last reading ${age} ago`,
    silent: (age: string) => `silent: last reading ${age} ago`,
    lost: (age: string) => `unplugged: last reading ${age} ago`,
  },
  typed: (time: string) => `typed in at ${time}`,
  moving: "moving",
  suspect: "flagged by the instrument",
  bad: "no usable value",
};

export const scale = {
  title: "Scale",
  target: (target: string) => `of ${target}`,
  tolerance: (tolerance: string) => `± ${tolerance}`,
  toGo: (by: string) => `${by} to go`,
  over: (by: string) => `${by} over`,
  there: "on target",
  free: "not weighing now",
  none: "No scale at this bench",
};
