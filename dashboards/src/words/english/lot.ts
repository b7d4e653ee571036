import { several } from "./several.ts";

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
  unknown: "Its number may be mistyped.",
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
  withdrawn: (time: string) => `taken back at ${time}`,
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
