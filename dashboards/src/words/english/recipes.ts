import { several } from "./several.ts";

export const recipes = {
  title: "Recipes",
  none: "No recipes yet.",
  noneFound: (search: string) => `No recipe has “${search}” in its name, wax or fragrance.`,
  search: "Search by name, wax or fragrance",
  create: "New recipe",
  copy: "Copy",
  copyOf: (name: string) => `Copy ${name}`,
  nameOfCopy: (name: string) => `${name}, copy`,
  load: (percent: string, of: "wax" | "total") => `${percent} % of the ${of}`,
  fill: (mass: string) => `${mass} each`,
  lots: (n: number) => n === 0 ? "no lots yet" : several(n, "lot", "lots"),
  lastMade: (day: string) => `last on ${day}`,
  versions: (n: number) => several(n, "version", "versions"),
  retired: (n: number) => `Put away (${n})`,
};

export const editor = {
  newTitle: "New recipe",
  missing: (name: string) => `There is no recipe named “${name}”.`,
  toRecipes: "Show the recipes",
  form: "Recipe",
  version: (n: number, day: string, time: string) => `Version ${n}, kept on ${day}, ${time}`,
  file: (path: string) =>
    `This recipe is also in ${path}. What you keep here counts until that file is changed; at the `
    + "start after that the file counts again.",
  retired: "This recipe is put away: it is not offered for new lots. Keep it again to bring it back.",
  restored: "This is work of yours that was not kept yet.",
  discard: "Let go of it",
  leave: "What you changed is not kept yet. It stays in this browser. Leave the page?",
  example:
    "These are example values, common practice for a soy wax. Change them to your own wax, "
    + "fragrance and vessel.",
  checked: "I have checked these against my suppliers’ sheets",
  checkFirst: "Check the two temperatures against your suppliers’ sheets and tick the box first.",
  keep: "Keep the recipe",
  keepNew: "Keep the new recipe",
  useExample: "Use these values",
  putAway: "Put the recipe away",
  putAwaySure: "Press again to put it away",
  kept: (version: number) => `Kept as version ${version}.`,
  toBench: "Open a lot of it at the bench",
  wrong: (n: number) => `${several(n, "field needs", "fields need")} a look before it can be kept.`,
  needed: "needed",
  optional: "optional",
  asked: (label: string) => `${label}: needed.`,
  renamed: (name: string) => `Under another name this becomes a new recipe; “${name}” stays as it is.`,
  changes: "What this changes",
  noChanges: "Nothing, so far.",
  overtaken: "Somebody else kept this recipe in the meantime",
  overtakenChanges: "Against what stands now, keeping yours would change:",
  takeTheirs: "Take what stands now",
  keepMine: "Keep mine over it",
  sheet: "Batch sheet",
  sheetFor: "For so many vessels",
  noSheet: "The grams show here once vessel, pitcher and fragrance load are there.",
  sheetOld: "The grams before the field that is not right yet.",
  told: (wax: string, fragrance: string) => `Wax ${wax}, fragrance ${fragrance}.`,
  cautions: "Not watched by this recipe",
  remove: "Remove",
  removeRow: (what: string, n: number) => `Remove ${what} ${n}`,
  none: "as usual",
  yes: "yes",
  low: (label: string) => `${label}, from`,
  high: (label: string) => `${label}, to`,
  units:
    "Write each quantity with its unit: 220 g or 7.8 oz, 80 °C or 176 °F, 2 min, 14 day, 8 %. What is "
    + "called usual is common practice: check your supplier’s sheet.",
};

export const versions = {
  title: "Versions",
  number: (n: number) => `Version ${n}`,
  kept: (day: string, time: string) => `${day}, ${time}`,
  fromFile: (file: string) => `from ${file}`,
  first: "The first version.",
  same: "Written otherwise, the same recipe.",
  takeAgain: (n: number) => `Take version ${n} again`,
  now: "stands now",
  taken: (n: number) => `Version ${n} is in the form. It stands once you keep it.`,
};

/** Each group of the editor, in the order of the pour. */
export const groups = {
  vessel: "Vessel",
  wax: "Wax",
  fragrance: "Fragrance",
  stir: "Stir",
  pour: "Pour",
  after: "Set, trim and cure",
  pitcher: "Pitcher",
  more: "More: own phases, limits and alarms",
};

/** What a field is called, and what helps to fill it. */
export interface FieldWords {
  label: string;
  hint?: string;
}

const STEP = "is a step of this recipe";

export const fields: Readonly<Record<string, FieldWords>> = {
  name: { label: "Name of the recipe", hint: "for example “Cedar smoke, 220 g amber”" },
  "vessel.fill": { label: "Fill of each vessel", hint: "for example 220 g" },
  "vessel.volume": {
    label: "Or its volume", hint: "instead of the fill, for example 8 fl oz; needs the wax’s density",
  },
  "vessel.tolerance": { label: "Fill may be off by", hint: "usual: 2 g" },
  "wax.name": { label: "Wax", hint: "for example soy blend" },
  "wax.never_above": {
    label: "Wax never above", hint: "a temperature from the wax maker’s sheet, with °C or °F",
  },
  "wax.density": { label: "Density of the melted wax", hint: "for a vessel given by its volume, in g/mL" },
  "wax.tolerance": { label: "Wax may be off by", hint: "usual: 2 %" },
  "wax.most_fragrance": { label: "Most fragrance it holds", hint: "from the wax maker’s sheet, in %" },
  "wax.most_fragrance_of": { label: "Counted of" },
  "fragrance.name": { label: "Fragrance", hint: "for example cedar smoke" },
  "fragrance.load": { label: "Load", hint: "usual: 6 to 10 %" },
  "fragrance.load_of": { label: "Load counted of", hint: "both are used: say which" },
  "fragrance.flash_point": {
    label: "Flash point", hint: "a temperature from the supplier’s safety data sheet, with °C or °F",
  },
  "fragrance.add_between": { label: "Add between", hint: "usual for soy: 80 to 85 °C" },
  "fragrance.tolerance": { label: "Fragrance may be off by", hint: "usual: 2.5 %" },
  "fragrance.ifra_limit": {
    label: "IFRA limit for candles", hint: "from the fragrance’s certificate, in % of the product",
  },
  stir: { label: `Stirring ${STEP}` },
  "stir.at_least": { label: "Stir at least", hint: "usual: 120 s" },
  pour: { label: "Watch the temperature and the order of the pour" },
  "pour.between": { label: "Pour between", hint: "usual for soy: 50 to 65 °C" },
  prepare: { label: `Preparing the vessels ${STEP}` },
  set: { label: `Setting ${STEP}` },
  "set.at_least": { label: "Set at least", hint: "usual: 24 h" },
  trim: { label: `Trimming the wicks ${STEP}` },
  cure: { label: `Curing ${STEP}` },
  "cure.at_least": { label: "Cure at least", hint: "usual: 7 to 14 day for soy" },
  "pitcher.capacity": { label: "Pitcher holds", hint: "for example 1500 g" },
  "pitcher.residue": { label: "Stays on its wall", hint: "usual: some grams, for example 6 g" },
};

export const rowWords = {
  phase: { title: "Own phases", one: "phase", add: "Add a phase" },
  limit: { title: "Own limits", one: "limit", add: "Add a limit" },
  alarm: { title: "How alarms behave", one: "alarm", add: "Add an alarm" },
};

export const rowFields: Readonly<Record<string, FieldWords>> = {
  name: { label: "Name" },
  after: { label: "Follows", hint: "the phase before it, for example stir" },
  at_least: { label: "At least", hint: "for example 5 min" },
  at_most: { label: "At most", hint: "for example 10 min" },
  of: { label: "Of" },
  below: { label: "Alarm below", hint: "for example 18 °C" },
  above: { label: "Alarm above", hint: "for example 30 °C" },
  falls_at_most: { label: "Falls at most", hint: "for example 1 °C/min" },
  rises_at_most: { label: "Rises at most", hint: "for example 1 °C/min" },
  during: { label: "During", hint: "phases with commas between; empty is the whole lot" },
  deadband: { label: "Deadband", hint: "for example 1 °C" },
  on_delay: { label: "On delay", hint: "for example 5 s" },
  off_delay: { label: "Off delay", hint: "for example 10 s" },
  priority: { label: "Priority" },
  latched: { label: "Stays until somebody resets it" },
  advice: { label: "Advice", hint: "what to do then" },
  rule: { label: "Rule", hint: "for example over-temperature" },
};

export const choices: Readonly<Record<string, string>> = {
  wax: "the wax", total: "the total (wax and fragrance)",
  pitcher: "the pitcher", pot: "the pot", room: "the room",
  high: "high", medium: "medium", low: "low",
};
