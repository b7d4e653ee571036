import type { Role } from "../types.ts";
import { CHOICES, SOURCES, toolOf } from "./calibration_draft.ts";
import type { Boiling, Draft, DraftPoint, Step } from "./calibration_draft.ts";

/** Reads a draft that this tab kept; null where it is none, or of another kind of tool. */
export function draftFrom(text: string | null, role: Role): Draft | null {
  if (text === null) return null;
  const kept = parsed(text);
  if (!isDraft(kept)) return null;
  const choices = CHOICES[toolOf(role)];
  if (!kept.points.every(({ source }) => choices.includes(source))) return null;
  const { step, points } = kept;
  const there = step.at !== "point" || points[step.index] !== undefined;
  return there ? kept : { ...kept, step: { at: "choose" } };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

function isDraft(value: unknown): value is Draft {
  return isObject(value) && isStep(value["step"]) && isBoiling(value["boiling"])
    && typeof value["note"] === "string"
    && Array.isArray(value["points"]) && value["points"].every(isPoint);
}

function isStep(value: unknown): value is Step {
  if (!isObject(value)) return false;
  const { at, index } = value;
  return at === "choose" || at === "result" || (at === "point" && typeof index === "number");
}

function isBoiling(value: unknown): value is Boiling {
  return isObject(value) && typeof value["text"] === "string"
    && (value["by"] === "altitude" || value["by"] === "pressure");
}

function isPoint(value: unknown): value is DraftPoint {
  return isObject(value) && SOURCES.some((source) => source === value["source"])
    && isNumberOrNull(value["reference"]) && isNumberOrNull(value["shown"]);
}

function isNumberOrNull(value: unknown): value is number | null {
  return value === null || typeof value === "number";
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}
