import { several } from "./several.ts";

export const instruments = {
  title: "Instruments",
  none: "This bench has no instruments.",
  noneAtAll: "This workshop has no instruments.",
  missing: (name: string) => `This workshop has no instrument ${name}.`,
  all: "All instruments",
  bench: (name: string) => `Bench ${name}`,
  state: { reading: "reading", silent: "silent", lost: "lost", waiting: "waiting" },
  stateInFull: {
    reading: "gives readings", silent: "silent", lost: "unplugged",
    waiting: "nothing heard since the start",
  },
  typedIn: "typed in by hand",
  typeAtBench: (bench: string) => `Type its readings at bench ${bench}`,
  kinds: {
    "serial-scale": "serial scale", "hid-scale": "USB scale", "one-wire": "1-Wire thermometer",
    mqtt: "read at another machine", manual: "without a lead",
  } as Readonly<Record<string, string>>,
  rejected: (n: number) => several(n, "message not understood", "messages not understood"),
  notKept: (n: number) =>
    `${several(n, "reading", "readings")} confirmed to the sender, but not kept here`,
  connection: "How it is connected",
  kind: "kind",
  role: "used as",
  silentAfter: "silent after",
  seconds: (n: number) => `${n} s`,
  counts: "Readings and messages",
  readings: "readings kept since the start",
  rate: "readings a second, lately",
  unknownRate: "not known yet",
  finest: "smallest step of its display",
  notUnderstood: "Not understood",
  unkept: "Understood and confirmed to the sender, but not kept here",
  times: (n: number) => `${n} ×`,
  allUnderstood: "Everything that came was understood and kept.",
  curve: "The last ten minutes",
};
