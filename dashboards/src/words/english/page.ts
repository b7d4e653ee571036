import { several } from "./several.ts";

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
  mistyped: "The address may be mistyped. The menu above leads to every page.",
  title: (place: string, alarms: number, message: string | null) => message === null
    ? `${place} – pourkeep`
    : `(${several(alarms, "alarm", "alarms")}) ${message} – ${place}`,
  more: "More",
  caution: "pourkeep records and warns. It switches no heat and is no safety device. Stay with the "
    + "pot, keep it below the wax maker’s limit, and keep a lid and a suitable extinguisher at "
    + "hand. Never put water on a wax fire. Local fire rules apply.",
  cautionTitle: "Caution",
};
