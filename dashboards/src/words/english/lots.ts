import { several } from "./several.ts";

export const lots = {
  title: "Lots",
  none: "No lots yet. Open the first one at the bench.",
  vessels: (filled: number, of: number) =>
    `${filled} of ${several(of, "vessel", "vessels")} filled`,
  opened: (day: string, time: string) => `${day}, ${time}`,
  state: { open: "open", closed: "closed" },
  deviations: (n: number) => n === 0 ? "no deviations" : several(n, "deviation", "deviations"),
  bench: (name: string) => `bench ${name}`,
  search: "Find",
  searchHint: "Number or recipe",
  atBench: "Bench",
  only: "Show",
  any: "all",
  kinds: { open: "open", closed: "closed", deviating: "with deviations", kept: "kept for good" },
  shown: (n: number, of: number) => n === of ? several(n, "lot", "lots") : `${n} of ${of} lots`,
  noMatch: "No lot is like that.",
  more: (n: number) => `Show ${n} more`,
  kept: "kept for good",
};
