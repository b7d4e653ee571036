import { several } from "./several.ts";

export const instruments = {
  title: "Instruments",
  none: "This bench has no instruments.",
  state: { reading: "reading", silent: "silent", lost: "lost", waiting: "waiting" },
  rejected: (n: number) => several(n, "message not understood", "messages not understood"),
};
