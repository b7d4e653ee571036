import type { Role } from "../types.ts";

/** What stands for the true value of a point. */
export type Source = "ice" | "boiling" | "reference" | "empty" | "mass";

export const SOURCES: readonly Source[] = ["ice", "boiling", "reference", "empty", "mass"];

/** A point on its way; degrees Celsius or grams, null until it is known. */
export interface DraftPoint {
  source: Source;
  reference: number | null;
  shown: number | null;
}

/** How somebody says under what pressure her water boils. */
export interface Boiling {
  by: "altitude" | "pressure";
  /** Meters or hectopascals, as typed. */
  text: string;
}

/** Where she is: choosing, at a point, or looking at what came of it. */
export type Step = { at: "choose" } | { at: "point"; index: number } | { at: "result" };

/** A calibration that is being made. */
export interface Draft {
  step: Step;
  points: readonly DraftPoint[];
  boiling: Boiling;
  note: string;
}

export const CHOICES: Record<"thermometer" | "scale", readonly Source[]> = {
  thermometer: ["ice", "boiling", "reference"],
  scale: ["empty", "mass"],
};

export function toolOf(role: Role): "thermometer" | "scale" {
  return role === "scale" ? "scale" : "thermometer";
}

/** What is known of a source before anything is measured. */
const KNOWN: Partial<Record<Source, number>> = { ice: 0, empty: 0 };

export function pointOf(source: Source): DraftPoint {
  return { source, reference: KNOWN[source] ?? null, shown: null };
}

/** A scale has no choice but its mass; a thermometer begins with the easiest. */
export function newDraft(role: Role): Draft {
  const sources: Source[] = role === "scale" ? ["empty", "mass"] : ["ice"];
  return {
    step: { at: "choose" }, points: sources.map(pointOf),
    boiling: { by: "altitude", text: "" }, note: "",
  };
}

/** The draft with a source among its points, or without it, in the order of the choices. */
export function withSource(draft: Draft, source: Source, wanted: boolean): Draft {
  const kept = draft.points.filter((point) => point.source !== source);
  const points = wanted ? [...kept, pointOf(source)] : kept;
  const order = (point: DraftPoint): number => SOURCES.indexOf(point.source);
  return { ...draft, points: [...points].sort((a, b) => order(a) - order(b)) };
}

export function withPoint(draft: Draft, index: number, change: Partial<DraftPoint>): Draft {
  const points = draft.points.map((point, place) =>
    place === index ? { ...point, ...change } : point);
  return { ...draft, points };
}

/** The step after this one. */
export function next(draft: Draft): Step {
  const { step, points } = draft;
  const index = step.at === "choose" ? 0 : step.at === "point" ? step.index + 1 : points.length;
  return index < points.length ? { at: "point", index } : { at: "result" };
}

/** The step before this one; the first has none. */
export function before(draft: Draft): Step | null {
  const { step, points } = draft;
  if (step.at === "choose") return null;
  const index = step.at === "point" ? step.index - 1 : points.length - 1;
  return index < 0 ? { at: "choose" } : { at: "point", index };
}

/** The points as the service takes them; null while one is not complete. */
export function measured(draft: Draft): { source: Source; reference: number; shown: number }[] | null {
  const complete = draft.points.flatMap(({ source, reference, shown }) =>
    reference === null || shown === null ? [] : [{ source, reference, shown }]);
  return complete.length === draft.points.length ? complete : null;
}
