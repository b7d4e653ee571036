import { several } from "./several.ts";
import { phaseName } from "./phase_names.ts";

export const bench = {
  title: (name: string) => `Bench ${name}`,
  all: "All benches",
  noLot: "No lot is open here.",
  moreAlarms: (n: number) => several(n, "more alarm", "more alarms"),
  timeIsUp: (phase: string) => `${phaseName(phase)}: time is up.`,
  lot: (id: string) => `Lot ${id}`,
  vessels: (n: number) => several(n, "vessel", "vessels"),
  pitcher: (n: number, of: number) => `pitcher ${n} of ${of}`,
  steps: "Steps of this lot",
  step: { done: "done", now: "now", next: "next", ahead: "later", skipped: "skipped" },
  doNow: "Do now",
  nothing: "Nothing to do",
  asItWas: "As it was before the connection broke.",
  noPhase: "Between steps",
  clock: {
    elapsed: (phase: string) => `${phase} for`,
    left: (phase: string) => `${phase}: time left`,
    over: (phase: string) => `${phase}: done, `,
  },
  clockMore: " more",
  markBegin: (phase: string) => `${phaseName(phase)}: begin`,
  markEnd: (phase: string) => `${phaseName(phase)}: done`,
  markKey: "or press Space",
  noMark: "Nothing to mark now",
  marked: (phase: string, edge: "begin" | "end", time: string) =>
    `Marked: ${phaseName(phase)} ${edge === "begin" ? "began" : "ended"} at ${time}`,
  undo: (phase: string, edge: "begin" | "end") =>
    `Undo: ${phaseName(phase)} ${edge === "begin" ? "began" : "ended"}`,
  undoKey: "or press U",
  takenBack: (phase: string, edge: "begin" | "end", time: string) =>
    `Taken back: ${phaseName(phase)} ${edge === "begin" ? "began" : "ended"} at ${time}`,
  close: "Close the lot",
  closeSure: "Press again to close the lot",
};
