/** Every text of the pages about lots; see words.ts. */

const several = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

export const lots = {
  title: "Lots",
  none: "No lots yet. Open the first one at the bench.",
  vessels: (filled: number, of: number) =>
    `${filled} of ${several(of, "vessel", "vessels")} filled`,
  opened: (day: string, time: string) => `${day}, ${time}`,
  state: { open: "open", closed: "closed" },
  deviations: (n: number) => n === 0 ? "no deviations" : several(n, "deviation", "deviations"),
  bench: (name: string) => `bench ${name}`,
};

export const lot = {
  title: (id: string) => `Lot ${id}`,
  verdict: (n: number, open: boolean) => {
    const found = n === 0 ? "No deviations" : several(n, "deviation", "deviations");
    return open ? `${found} so far` : found;
  },
  opened: "Opened",
  closed: "Closed",
  stillOpen: "still open",
  toBench: "Go to the bench",
  none: "There is no such lot.",
  unknown: "There is no lot by that name.",
  toLots: "Show the lots",
};

export const phases = {
  title: "Phases",
  none: "No phase was seen yet.",
  phase: "Phase",
  pitcher: (n: number) => `pitcher ${n}`,
  began: "Began",
  lasted: "Lasted",
  evidence: "Known by",
  restsOn: (readings: number, channel: string) => `${readings} readings of ${channel}`,
  by: { mark: "mark", scale: "scale", gap: "gap before the pour" } as Record<string, string>,
  running: "running",
  since: (time: string) => `since ${time}`,
  short: (by: string, asked: string) => `${by} short of ${asked}`,
  atLeast: (time: string) => `asked: ${time}`,
};

export const marks = {
  title: "Marks",
  what: "Marked",
  at: "At",
  edge: { begin: "began", end: "ended" },
  contradicted: (what: string) => `the scale says otherwise: ${what}`,
};

export const verdict = {
  title: "Verdict",
  question: "Was it a good lot?",
  what: "Good lots make the band that later lots of this recipe are held against.",
  none: "Nobody has said yet.",
  good: "A good lot",
  bad: "Not a good lot",
  said: (day: string, time: string) => `said on ${day}, ${time}`,
  note: "Note",
};

export const weighings = {
  title: "Weighings",
  none: "Nothing was weighed yet.",
  what: "What",
  grams: "Weighed",
  of: (target: string) => `of ${target}`,
  difference: "Difference",
  wax: (pitcher: number) => `Wax, pitcher ${pitcher}`,
  fragrance: (pitcher: number) => `Fragrance, pitcher ${pitcher}`,
  fill: (vessel: number) => `Vessel ${vessel}`,
  over: "over",
  under: "under",
};

export const deviations = {
  title: "Deviations",
  none: "None.",
  outcome: "What became of it",
  note: "Note",
  noOutcome: "still open",
  where: {
    phase: (phase: string) => phase,
    pitcher: (pitcher: number) => `pitcher ${pitcher}`,
    vessel: (vessel: number) => `vessel ${vessel}`,
  },
};

export const sheet = {
  title: "Batch sheet",
  part: "Part",
  vessels: "Vessels",
  mix: "Mix",
  wax: "Wax",
  fragrance: "Fragrance",
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

export const gaps = {
  title: "Gaps in the record",
  one: (from: string, to: string, lasted: string) =>
    `Nothing was collected from ${from} to ${to} (${lasted}).`,
  clock: (at: string, by: string, late: boolean) =>
    `The computer’s clock was found to be off at ${at}: the times of this lot are ${by} too `
    + `${late ? "late" : "early"}. What it says about how long things took is right.`,
  noClock: (at: string) =>
    `The computer’s clock was not set at ${at}: the times of this lot are wrong. What it says about `
    + "how long things took is right.",
  late: (from: string, to: string, readings: number) =>
    `${several(readings, "reading", "readings")} from ${from} to ${to} came too late to be judged.`,
};
