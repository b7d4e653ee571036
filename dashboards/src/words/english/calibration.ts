import { several } from "./several.ts";

export const calibration = {
  title: "Calibration",
  none: "Not calibrated: values are kept as they are shown.",
  since: (day: string, age: string, points: number) =>
    `Calibrated on ${day}, ${age}, with ${several(points, "point", "points")}`,
  age: (days: number) => {
    if (days === 0) return "today";
    if (days === 1) return "yesterday";
    return `${days} days ago`;
  },
  due: "That is more than a year ago. Once a year is usual.",
  line: (offset: string | null, percent: string | null) => {
    const parts = [offset, percent].filter((part) => part !== null);
    return parts.length === 0 ? "changes nothing" : parts.join(" and ");
  },
  offset: (by: string) => `${by} everywhere`,
  gain: (percent: string) => `${percent} of the value`,
  begin: "Calibrate it",
  again: "Calibrate it anew",
  what: "Hold the instrument against something that is known. It takes about ten minutes, and every "
    + "reading from then on is corrected by what comes of it.",
  notNow: "Not at the moment",
  of: (name: string) => `Calibration of ${name}`,
  step: (n: number, of: number) => `Step ${n} of ${of}`,
  back: "Back",
  discard: "Discard",
  next: "Go on",

  choose: "What will you hold it against?",
  chooseHint: "One point corrects every value by the same amount. Two, far apart, tell whether it is "
    + "off by more at the top than at the bottom.",
  chooseScale: "You need one mass that is known",
  scaleHint: "A calibration weight, as near to the weight of a full pitcher as you have one. A coin, "
    + "or water measured by volume, is not known well enough.",
  sources: {
    ice: "Ice water", boiling: "Boiling water", reference: "A thermometer that is known to be right",
    empty: "Empty pan", mass: "Known mass",
  },
  sourceHints: {
    ice: "0 °C wherever you are", boiling: "known from your altitude or the air pressure",
    reference: "one with a certificate, say", empty: "", mass: "",
  },
  by: "Where does it boil?",
  altitude: "By altitude, in meters",
  pressure: "By air pressure, in hPa",
  byHint: {
    altitude: "Weather moves the boiling point by up to 0.8 °C either way. A barometer in the room "
      + "is better.",
    pressure: "What a barometer shows in the room. A weather report gives it as at sea level, which "
      + "is something else.",
  },
  number: { altitude: "Meters above the sea", pressure: "Hectopascals (hPa)" },

  how: {
    ice: [
      "Fill an insulated cup to the bottom with crushed ice. Pour in cold water until the gaps are "
        + "full.",
      "Put the tip in the middle, 5 cm deep or more. It must touch neither the wall nor the bottom.",
      "Stir gently and wait until the value stands still. Pour off water and add ice as it melts.",
    ],
    boiling: [
      "Bring a pot of clean water to a full, rolling boil and keep it there.",
      "Clip the probe to the rim, with its tip in the middle of the water, 5 cm deep or more, clear of "
        + "wall and bottom.",
      "Wait until the value stands still.",
    ],
    reference: [
      "Put both tips side by side into a large jug of water, about as warm as what you work with.",
      "Stir, and wait until both stand still.",
      "Type what the other thermometer shows, then take the value.",
    ],
    empty: [
      "Put the scale on a firm, level place without draught, and let it warm up for ten minutes.",
      "Take everything off the pan and press its tare key.",
      "Keep your hands off until the value stands still.",
    ],
    mass: [
      "Type what the mass weighs.",
      "Put it in the middle of the pan. Do not tare.",
      "Keep your hands off until the value stands still.",
    ],
  },
  cautionTitle: "Take care",
  cautions: {
    ice: "Only a sealed probe belongs in water. Dry it before it goes back near hot wax.",
    boiling: "Steam and boiling water scald: keep hands and cables clear of them. Keep the water away "
      + "from hot wax, since a splash of it makes wax spit and can set it on fire. Only a sealed probe "
      + "belongs in water, and it must be dry before it goes back into wax.",
    reference: "Hot water scalds. Only a sealed probe belongs in water; dry it before it goes back "
      + "near hot wax.",
    empty: "",
    mass: "",
  },
  point: (n: number, of: number, source: string) => `Point ${n} of ${of}: ${source}`,
  known: (value: string) => `Known to be ${value}`,
  knownOf: {
    ice: "The true value", boiling: "The true value", empty: "The true value",
    reference: "What the other thermometer shows", mass: "What the mass weighs",
  },
  inUnit: (what: string, unit: string) => `${what}, in ${unit}`,
  typeShown: (name: string, unit: string) => `What ${name} shows, in ${unit}`,
  live: "It shows",
  liveInFull: "It shows, uncorrected",
  nothing: "– – –",
  waiting: "waiting for a value",
  moving: (seconds: number, needed: number) => `still for ${seconds} of ${needed} s`,
  steady: (needed: number) => `steady for ${needed} s`,
  take: (value: string) => `Take ${value}`,
  takeNothing: "Take this value",
  anyway: "Take it anyway",
  typeKnown: "Type the known value first, such as 60.2.",

  result: "What came of it",
  reference: "Known",
  shown: "Shown",
  correction: "Correction",
  residual: "Left over",
  points: "Points",
  example: (shown: string, kept: string) => `A shown value of ${shown} becomes ${kept}.`,
  exampleNow: (shown: string, kept: string, now: string) =>
    `A shown value of ${shown} becomes ${kept}; now it is ${now}.`,
  changes: "What changes",
  changesHint: "Readings from now on are kept corrected. What is stored already stays as it is.",
  remarks: {
    "one point": "One point says nothing about the rest of the range. A second one, far from it, "
      + "would tell.",
    "not straight": "The points do not lie on a straight line: what is left over is more than a step "
      + "of the display. Take the one that stands out again.",
    "nothing to correct": "It is right to within what its display can show. There is nothing to "
      + "correct.",
  },
  note: "Who did it, or with what (optional)",
  keep: "Keep it",
  kept: "Kept. Readings are corrected from now on.",

  history: "All of its calibrations",
  withdrawn: "withdrawn",
  withdraw: "Withdraw it",
  withdrawHint: "Values are then kept as they are shown again.",
  why: "Why (optional)",
  reallyWithdraw: "Yes, withdraw it",
  cancel: "Cancel",
};
