/** Other lots beside this one. */
export const beside = {
  title: "Beside other lots",
  what: "The first pitcher of another lot, drawn on this lot’s clock and laid on the same events: "
    + "wax drawn, fragrance all in, stirred, pour began.",
  search: "Search all lots",
  choose: (id: string) => `Lay ${id} beside`,
  entry: (recipe: string, day: string) => `${recipe}, ${day}`,
  sameRecipe: "Lots of the same recipe",
  found: "Lots found",
  noneFound: "No lot fits.",
  noneAlike: "No further lot of this recipe. Search for another one.",
  full: "Three lots are beside this one. Take one away to choose another.",
  chosen: "Beside this lot",
  leave: (id: string) => `Take lot ${id} away`,
  loading: (id: string) => `Fetching lot ${id} …`,
  table: (id: string) => `This lot and lot ${id}`,
  when: "Event or phase",
  here: "This lot",
  there: (id: string) => `Lot ${id}`,
  difference: "The other was",
  anchors: {
    "wax drawn": "Wax drawn", "fragrance added": "Fragrance all in", "stirred": "Stirred",
    "pour began": "Pour began",
  } as Record<string, string>,
  lasted: (phase: string) => `${phase}, how long`,
  warmer: (by: string) => `${by} warmer`,
  cooler: (by: string) => `${by} cooler`,
  longer: (by: string) => `${by} longer`,
  shorter: (by: string) => `${by} shorter`,
  same: "the same",
  unknown: "not known",
  nothing: "Neither lot has come to an event of the other yet.",
  open: "Open that lot",
};

/** Keeping a lot's readings for good. */
export const keeping = {
  title: "Readings",
  kept: "The readings of this lot are kept for good, whatever the workshop removes.",
  released: "The readings of this lot go when the workshop removes old ones. Its story, "
    + "weighings and deviations stay in any case.",
  keep: "Keep these readings for good",
  release: "Let these readings go with the others",
  note: "Note",
};
