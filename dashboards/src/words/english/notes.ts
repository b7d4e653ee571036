import { several } from "./several.ts";

export const notes = {
  title: "Notes and photographs",
  what: "For whoever looks at this lot later. Nothing is judged by what stands here.",
  write: "Write a note",
  send: "Keep the note",
  sending: "Keeping it…",
  key: "or press Ctrl and Enter",
  left: (n: number) => `${several(n, "character", "characters")} left`,
  notKept: "The note is not kept yet, and stays here.",
  none: "Nobody has written anything yet.",
  list: "Notes",
  takeBack: "Take back",
  takeBackNote: (time: string) => `Take back the note of ${time}`,
  takenBack: (time: string, reason: string) => `Taken back on ${time}: “${reason}”`,
  reason: "Why is it taken back?",
  reasonMissing: "Say why, so that the record can be understood later.",
  sureNote: "Yes, take the note back",
  notesStay: "The journal keeps it, and the record shows it crossed out.",
  fromBench: "Add a note or photograph",
};

export const photographs = {
  list: "Photographs",
  caption: "Caption for the next photograph",
  add: "Add a photograph",
  camera: "Take one now",
  drop: "You can also drop pictures here.",
  none: "There is no photograph yet.",
  named: (caption: string, time: string) => caption === "" ? `Photograph of ${time}` : caption,
  open: "Show large:",
  sending: (name: string) => `Sending ${name}`,
  percent: (part: number) => `${Math.round(part * 100)} %`,
  notSent: (name: string) => `${name} was not sent.`,
  unreadable: "This browser cannot read it as a picture. Save it as JPEG, PNG or WebP.",
  again: "Try again",
  giveUp: "Let it be",
  previous: "Previous",
  next: "Next",
  close: "Close",
  place: (n: number, of: number) => `${n} of ${of}`,
  takeBack: "Take it back",
  sure: "Yes, delete the picture",
  bytesGo: "The picture is deleted for good. The record keeps that it was there, its caption and "
    + "your reason. Copies in backups stay.",
  gone: (what: string, time: string, reason: string) =>
    `${what}: taken back on ${time}, the picture is deleted. The reason: “${reason}”`,
};
