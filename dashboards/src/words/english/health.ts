export const health = {
  title: "Service",
  status: {
    ok: "All is well.", warning: "Something should be seen to.",
    failing: "Something fails: see below.",
  },
  lost: "Not known: there is no connection. Below is what was last heard.",
  check: { ok: "well", warning: "see to it", failing: "fails" },
  checks: "What was looked at",
  outboxes: "What is sent elsewhere",
  noOutboxes: "Nothing is sent elsewhere: the record is on this computer alone. Keep a copy of it.",
  state: "State",
  waiting: (n: number) => `${n} waiting`,
  refused: (n: number) => `${n} refused`,
  lastSent: (time: string) => `last sent ${time}`,
  never: "nothing sent yet",
  since: (time: string) => `trouble since ${time}`,
  refusals: "Refused for good",
};
