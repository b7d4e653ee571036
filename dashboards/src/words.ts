/**
 * Every text of the screens, in one place: a second language is a second file like this one.
 * What the service says itself (messages, advice, what to do) comes as it is.
 */

import type { Ahead, TimeUnit } from "./models/forecast.ts";

const PHASES: Record<string, string> = {
  "prepare": "Prepare",
  "draw wax": "Draw wax",
  "add fragrance": "Add fragrance",
  "stir": "Stir",
  "pour": "Pour",
  "set": "Set",
  "trim": "Trim",
  "cure": "Cure",
};

export const phaseName = (phase: string): string => PHASES[phase] ?? phase;

const several = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

export const page = {
  product: "pourkeep",
  bench: "Bench",
  lots: "Lots",
  navigation: "Screens",
  benches: "Benches",
  skip: "Skip to the content",
  units: "Units",
  switchTemperature: (unit: string) => `Temperatures in ${unit}`,
  switchMass: (unit: string) => `Masses in ${unit}`,
  simulated: (speed: number) => `Simulated day, ${speed} times faster`,
  lost: (time: string) => `No connection: values are from ${time}`,
  trouble: (what: string) => `Nothing is being kept at the moment. ${what}`,
  never: "No connection to the service yet",
  loading: "Loading …",
  refused: "That did not work",
  unreachable: "The service did not answer. It may be stopped, or the network is down.",
  busyBench: "Show the lot that is open there",
  dismiss: "Dismiss",
  notFound: "There is no such page.",
  title: (place: string, alarms: number) => {
    const warning = alarms > 0 ? `(${several(alarms, "alarm", "alarms")}) ` : "";
    return `${warning}${place} – pourkeep`;
  },
  caution: "pourkeep records and warns. It switches no heat and is no safety device. Stay with the "
    + "pot, keep it below the wax maker’s limit, and keep a lid and a suitable extinguisher at "
    + "hand. Never put water on a wax fire. Local fire rules apply.",
  cautionTitle: "Caution",
};

export const bench = {
  title: (name: string) => `Bench ${name}`,
  lot: (id: string) => `Lot ${id}`,
  vessels: (n: number) => several(n, "vessel", "vessels"),
  pitcher: (n: number, of: number) => `pitcher ${n} of ${of}`,
  steps: "Steps of this lot",
  step: { done: "done", now: "now", next: "next", ahead: "later", skipped: "skipped" },
  doNow: "Do now",
  nothing: "Nothing to do",
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
  close: "Close the lot",
  closeSure: "Press again to close the lot",
};

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

export const alarms = {
  title: "Alarms",
  others: "Other alarms",
  quiet: (n: number) => `${several(n, "alarm", "alarms")} seen, put aside or not judged`,
  more: (n: number) => several(n, "more alarm", "more alarms"),
  over: (n: number) => `${several(n, "alarm is", "alarms are")} over and not yet seen`,
  priority: { high: "Act now", medium: "Act soon", low: "Note" },
  state: {
    "active": "active", "acknowledged": "seen", "cleared": "gone, not yet seen",
    "shelved": "put aside", "ended": "gone", "latched": "over, held until you let it go",
    "suppressed": "cannot be judged now", "out of service": "out of service",
  },
  held: (n: number) => `${several(n, "alarm is", "alarms are")} over and held`,
  stays: "stays until you let it go",
  suppressed: (instrument: string) => `cannot be judged while ${instrument} is silent`,
  acknowledge: "Acknowledge",
  acknowledgeKey: "or press A",
  acknowledgeAll: (n: number) => `Acknowledge all ${n}`,
  addNote: "Note …",
  note: "Note",
  shelve: "Put aside",
  shelveFor: (minutes: number) => `Put aside for ${minutes} min`,
  howLong: "For how long?",
  minutes: (n: number) => `${n} min`,
  why: "Why?",
  reasons: [
    "It is being put right", "The probe is out of the wax",
    "The scale is used for something else",
  ],
  reason: "Reason",
  noReason: "Say why in a few words, or press one of the reasons.",
  unshelve: "Bring back",
  reset: "Let go",
  cancel: "Cancel",
  until: (time: string) => `until ${time}`,
  because: (reason: string) => `“${reason}”`,
  answered: {
    acknowledge: (message: string) => `Acknowledged: ${message}`,
    shelve: (message: string) => `Put aside: ${message}`,
    unshelve: (message: string) => `Brought back: ${message}`,
    reset: (message: string) => `Let go: ${message}`,
  },
  raised: (time: string) => `since ${time}`,
};

export const chart = {
  temperatures: "Temperatures of the last hour",
  lotTemperatures: "Temperatures of the lot",
  lotMasses: "Mass on the scale over the lot",
  label: (title: string, lines: string) => `${title}: ${lines}`,
  line: (name: string, value: string) => `${name} ${value}`,
  noLine: (name: string) => `${name}, no reading`,
  add: (window: string) => `add ${window}`,
  pour: (window: string) => `pour ${window}`,
  never: (limit: string) => `never above ${limit}`,
  weighing: { wax: "wax", fragrance: "fragrance", fill: "fill" },
  fill: (vessel: number) => `vessel ${vessel}`,
  gap: "nothing collected",
  goodLots: "good lots",
  roles: { scale: "scale", pitcher: "pitcher", pot: "pot", room: "room" },
  empty: "No readings in this span.",
};

export const opening = {
  title: "Open a lot",
  recipe: "Recipe",
  vessels: "Vessels",
  fewer: "One vessel fewer",
  more: "One vessel more",
  bench: "Bench",
  open: "Open the lot",
  noRecipes: "The service has no recipe yet. Add one first; then it can be chosen here.",
  last: (recipe: string) => `Last lot here: ${recipe}`,
  pourDay: "Lot of the pour day",
  planned: (recipe: string, n: number) => `${recipe}, ${several(n, "vessel", "vessels")}`,
  notPlanned: "Another lot, not of this day",
};

export const instruments = {
  title: "Instruments",
  none: "This bench has no instruments.",
  state: { reading: "reading", silent: "silent", lost: "lost", waiting: "waiting" },
  rejected: (n: number) => several(n, "message not understood", "messages not understood"),
  type: "Keep",
  typed: (name: string, unit: string) => `Value of ${name} in ${unit}`,
  notANumber: "Type a number, such as 82.1.",
  kept: (value: string, unit: string) => `Kept: ${value} ${unit}`,
  sure: (value: string, unit: string) => `Press again to keep ${value} ${unit}`,
};
