import type { RecipeDocument, RecipeProblem } from "../types.ts";

/** What is typed, by the key of its field: "vessel.fill", "pour.between.0", "stir" for a step. */
export type Fields = Readonly<Record<string, string>>;
/** The rows of a list that a maker may add to, each with its own fields. */
export type Row = Readonly<Record<string, string>>;
export type RowKind = "phase" | "limit" | "alarm";

/** A recipe as a form holds it: every value is the text that a person typed. */
export interface RecipeForm {
  fields: Fields;
  rows: Readonly<Record<RowKind, readonly Row[]>>;
}

/** What stands for a box that is ticked. */
export const YES = "yes";

const SECTIONS: Readonly<Record<string, readonly string[]>> = {
  vessel: ["fill", "volume", "tolerance"],
  pitcher: ["capacity", "residue"],
  wax: [
    "name", "never_above", "density", "tolerance", "most_fragrance", "most_fragrance_of",
  ],
  fragrance: [
    "name", "load", "load_of", "flash_point", "add_between", "tolerance", "ifra_limit",
  ],
  prepare: [],
  stir: ["at_least"],
  pour: ["between"],
  set: ["at_least"],
  trim: [],
  cure: ["at_least"],
};
/** Sections that a recipe always has, so that the service says which of their fields are missing. */
const ALWAYS: ReadonlySet<string> = new Set(["vessel", "wax", "fragrance"]);
/** Steps that a recipe has or has not. */
export const STEPS: ReadonlySet<string> = new Set([
  "prepare", "stir", "pour", "set", "trim", "cure",
]);
export const WINDOWS: ReadonlySet<string> = new Set(["fragrance.add_between", "pour.between"]);

export const ROW_KEYS: Readonly<Record<RowKind, readonly string[]>> = {
  phase: ["name", "after", "at_least", "at_most"],
  limit: [
    "name", "of", "below", "above", "falls_at_most", "rises_at_most", "during", "deadband",
    "on_delay", "off_delay", "priority", "latched", "advice",
  ],
  alarm: ["rule", "priority", "latched", "deadband", "on_delay", "off_delay"],
};
const ENDS = [0, 1] as const;

export const EMPTY_FORM: RecipeForm = { fields: {}, rows: { phase: [], limit: [], alarm: [] } };

// ---------------------------------------------------------------- form to document

/** The document that a form says; fields that are empty are left out. */
export function documentOf({ fields, rows }: RecipeForm): RecipeDocument {
  const document: RecipeDocument = {};
  const name = written(fields, "name");
  if (name !== undefined) document["name"] = name;
  for (const section of Object.keys(SECTIONS)) {
    const content = sectionOf(section, fields);
    if (content !== null) document[section] = content;
  }
  if (rows.phase.length > 0) document["phase"] = rows.phase.map(entryOf);
  if (rows.limit.length > 0) document["limit"] = rows.limit.map(entryOf);
  if (rows.alarm.length > 0) document["alarm"] = Object.fromEntries(rows.alarm.map(mannerOf));
  return document;
}

function sectionOf(section: string, fields: Fields): RecipeDocument | null {
  if (STEPS.has(section) && fields[section] !== YES) return null;
  const content: RecipeDocument = {};
  for (const key of SECTIONS[section] ?? []) {
    const path = `${section}.${key}`;
    const value = WINDOWS.has(path) ? windowOf(path, fields) : written(fields, path);
    if (value !== undefined) content[key] = value;
  }
  const there = ALWAYS.has(section) || STEPS.has(section) || Object.keys(content).length > 0;
  return there ? content : null;
}

function written(fields: Fields, key: string): string | undefined {
  const text = fields[key]?.trim() ?? "";
  return text === "" ? undefined : text;
}

function windowOf(path: string, fields: Fields): string[] | undefined {
  const ends = ENDS.map((end) => written(fields, `${path}.${end}`) ?? "");
  return ends.every((end) => end === "") ? undefined : ends;
}

function entryOf(row: Row): RecipeDocument {
  const entry: RecipeDocument = {};
  for (const key of Object.keys(row)) {
    const text = written(row, key);
    if (text !== undefined) entry[key] = valueOf(key, text);
  }
  return entry;
}

function valueOf(key: string, text: string): unknown {
  if (key === "latched") return text === YES;
  if (key === "during") return text.split(",").map((phase) => phase.trim());
  return text;
}

function mannerOf(row: Row): [string, RecipeDocument] {
  const { rule = "", ...manner } = row;
  return [rule.trim(), entryOf(manner)];
}

// ---------------------------------------------------------------- document to form

/** The form that shows a document. */
export function formOf(document: RecipeDocument): RecipeForm {
  const fields: Record<string, string> = { name: textOf(document["name"]) };
  for (const [section, keys] of Object.entries(SECTIONS)) {
    const content = document[section];
    if (!isSection(content)) continue;
    if (STEPS.has(section)) fields[section] = YES;
    for (const key of keys) putIn(fields, `${section}.${key}`, content[key]);
  }
  return {
    fields,
    rows: {
      phase: entriesOf(document["phase"]).map(rowOf),
      limit: entriesOf(document["limit"]).map(rowOf),
      alarm: mannersOf(document["alarm"]),
    },
  };
}

function putIn(fields: Record<string, string>, path: string, value: unknown): void {
  if (value === undefined) return;
  if (!WINDOWS.has(path)) fields[path] = textOf(value);
  else if (Array.isArray(value)) {
    for (const end of ENDS) fields[`${path}.${end}`] = textOf(value[end]);
  }
}

function rowOf(entry: RecipeDocument): Row {
  return Object.fromEntries(Object.entries(entry).map(([key, value]) => [key, textOf(value)]));
}

function mannersOf(alarm: unknown): Row[] {
  if (!isSection(alarm)) return [];
  return Object.entries(alarm).map(([rule, manner]) => ({
    rule, ...isSection(manner) ? rowOf(manner) : {},
  }));
}

function entriesOf(list: unknown): RecipeDocument[] {
  return Array.isArray(list) ? list.filter(isSection) : [];
}

function isSection(value: unknown): value is RecipeDocument {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function textOf(value: unknown): string {
  if (value === true) return YES;
  if (Array.isArray(value)) return value.map(textOf).join(", ");
  return typeof value === "string" || typeof value === "number" ? asWritten(String(value)) : "";
}

/** A temperature as people write it; files have "93 degC", which needs no special key. */
function asWritten(text: string): string {
  return text.replace(/^(-?\d+(?:\.\d+)?) ?deg([CF])$/, "$1 °$2");
}

// ---------------------------------------------------------------- problems to fields

/** The key of the field that a problem is about. */
export function fieldOf({ path }: Pick<RecipeProblem, "path">, { rows }: RecipeForm): string {
  const [first, second] = path;
  if (first === "alarm" && path.length > 1) {
    const row = rows.alarm.findIndex(({ rule }) => (rule ?? "").trim() === second);
    return ["alarm", row, path[2] ?? "rule"].join(".");
  }
  const isRow = first === "phase" || first === "limit";
  return path.slice(0, isRow ? 3 : undefined).join(".");
}

/** Whether two forms say the same recipe. */
export function isSame(one: RecipeForm, other: RecipeForm): boolean {
  return JSON.stringify(documentOf(one)) === JSON.stringify(documentOf(other));
}
