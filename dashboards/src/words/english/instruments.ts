import { several } from "./several.ts";

export const instruments = {
  title: "Instruments",
  none: "This bench has no instruments.",
  state: { reading: "reading", silent: "silent", lost: "lost", waiting: "waiting" },
  rejected: (n: number) => several(n, "message not understood", "messages not understood"),
  type: "Keep",
  typed: (name: string, unit: string) => `Value of ${name} in ${unit}`,
  notANumber: "Type a number, such as 82.1.",
  kept: (value: string, unit: string) => `Kept: ${value} ${unit}`,
  sure: (value: string, unit: string) => `Press again to keep ${value} ${unit}`,
};
