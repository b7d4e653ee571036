import type { JSX } from "preact";
import { changeTold } from "../models/changes_told.ts";
import type { WorkshopModel } from "../models/workshop.ts";

interface ChangeListProps {
  workshop: WorkshopModel;
  lines: readonly string[];
}

/** What differs between two versions of a recipe, a line each. */
export function ChangeList({ workshop, lines }: ChangeListProps): JSX.Element {
  const display = workshop.preferences.display.value;
  return (
    <ul class="changes">{lines.map((line) => <li key={line}>{changeTold(line, display)}</li>)}</ul>
  );
}
