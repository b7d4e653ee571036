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

/** A phase of a recipe's own has the name that the recipe gives it. */
export const phaseName = (phase: string): string => PHASES[phase] ?? phase;
