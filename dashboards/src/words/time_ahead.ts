export type TimeUnit = "s" | "min" | "h";

/** A time ahead as a person reads it: one number, or a range rounded outwards. */
export type Ahead =
  | { kind: "now" }
  | { kind: "about"; n: number; unit: TimeUnit }
  | { kind: "between"; from: number; to: number; unit: TimeUnit };
