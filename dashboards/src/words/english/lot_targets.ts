import { several } from "./several.ts";

/** Weighings against their targets, drawn. */
export const targets = {
  title: "Weighings against their targets",
  fills: "Vessels",
  wax: "Wax",
  fragrance: "Fragrance",
  target: "target",
  vessel: (n: number) => String(n),
  pitcher: (n: number) => `pitcher ${n}`,
  difference: (name: string, by: string, side: "over" | "under") => `${name}, ${by} ${side}`,
  over: "over",
  under: "under",
  exact: (name: string) => `${name}, on its target`,
  drawn: (title: string, n: number, outside: string[]) =>
    `${title}: ${several(n, "weighing", "weighings")} against the target. ${
      outside.length === 0
        ? "Each is within what is allowed."
        : `Outside of what is allowed: ${outside.join("; ")}.`}`,
  n: "Weighed",
  mean: "Mean",
  deviation: "Standard deviation",
  range: "Least and most",
  outside: "Outside",
  to: "to",
  one: "needs two",
};
