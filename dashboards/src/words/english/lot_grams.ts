export const weighings = {
  title: "Weighings",
  none: "Nothing was weighed yet.",
  what: "What",
  grams: "Weighed",
  of: (target: string) => `of ${target}`,
  difference: "Difference",
  where: "In the curve",
  wax: (pitcher: number) => `Wax, pitcher ${pitcher}`,
  fragrance: (pitcher: number) => `Fragrance, pitcher ${pitcher}`,
  fill: (vessel: number) => `Vessel ${vessel}`,
  over: "over",
  under: "under",
};

export const sheet = {
  title: "Batch sheet",
  part: "Part",
  vessels: "Vessels",
  mix: "Mix",
  wax: "Wax",
  fragrance: "Fragrance",
  changed: "changed",
  whole: "Whole lot",
  pitcher: (n: number) => `Pitcher ${n}`,
  load: (percent: string, of: "wax" | "total") =>
    `Fragrance load ${percent} % of the ${of === "wax" ? "wax" : "total"}.`,
  fill: (mass: string) => `${mass} into each vessel.`,
  masses: (unit: string) => `Masses in ${unit}.`,
  limits: "Most fragrance allowed",
  limit: (by: string, percent: string, basis: "wax" | "total") =>
    `${by}: at most ${percent} % of the ${basis === "wax" ? "wax" : "total"}`,
  share: (percent: string) => `this lot ${percent} %`,
  pot: "Pot",
  left: (left: string, needed: string) => `${left} left, ${needed} still needed.`,
  needed: (needed: string) => `${needed} still needed.`,
  enough: "enough",
  short: "not enough",
};
