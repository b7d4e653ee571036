import { several } from "./several.ts";

/** The curves of a lot, and how to look at them closely. */
export const curve = {
  title: "The curve",
  label: "Curves of the lot; the arrow keys move the read-out",
  hint: "Drag across the curve to see a part of it, double click for the whole lot. On a touch "
    + "screen one finger moves the read-out and two fingers zoom. By key: arrows move the "
    + "read-out, + and − zoom, Page Up and Page Down move, Home shows the whole lot.",
  tools: "Look closer",
  zoomIn: "Closer",
  zoomOut: "Wider",
  earlier: "Earlier",
  later: "Later",
  whole: "Whole lot",
  span: (from: string, to: string) => `${from} to ${to}`,
  loading: "Fetching all readings of this time …",
  lines: "Lines",
  besideLine: (lot: string) => `lot ${lot}`,
  nothing: "Point at the curve to read it.",
  between: "between two phases",
  noValue: "no reading",
  takenAt: (value: string, time: string) => `${value} at ${time}`,
  line: (name: string, value: string) => `${name} ${value}`,
  pitcher: (phase: string, n: number) => `${phase}, pitcher ${n}`,
  weighing: (name: string, grams: string) => `${name}, ${grams}`,
  deviation: (n: number, message: string) => `Deviation ${n}: ${message}`,
  nearest: (name: string, later: number) => {
    const by = Math.round(Math.abs(later));
    if (by === 0) return name;
    const how = by < 120 ? several(by, "second", "seconds")
      : several(Math.round(by / 60), "minute", "minutes");
    return `${name} (${how} ${later > 0 ? "later" : "before"})`;
  },
  show: "Show in the curve",
  showThat: (what: string) => `Show in the curve: ${what}`,
  back: (to: string) => `Back to ${to}`,
};
