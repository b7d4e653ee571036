export const deviations = {
  title: "Deviations",
  none: "None.",
  outcome: "What became of it",
  note: "Note",
  noOutcome: "still open",
  where: {
    phase: (phase: string) => phase,
    pitcher: (pitcher: number) => `pitcher ${pitcher}`,
    vessel: (vessel: number) => `vessel ${vessel}`,
  },
};
