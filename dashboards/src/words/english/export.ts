import { several } from "./several.ts";

export const exports = {
  title: "Take it with you",
  readings: (n: number, open: boolean) =>
    `${several(n, "reading", "readings")}${open ? " so far" : ""}, and all that was weighed, marked `
    + "and told.",
  removed:
    "Readings of this lot were removed from the store. The files hold what remains, and say so.",
  formats: {
    csv: { name: "CSV", what: "for a spreadsheet" },
    parquet: { name: "Parquet", what: "for a notebook, typed and small" },
    jsonl: { name: "JSON lines", what: "for a program, with the whole journal" },
  },
  picture: { name: "Picture", what: "the temperatures as they are shown above, as PNG" },
  about: (size: string) => `about ${size}`,
  asked: (file: string) => `Your browser saves ${file} and shows how far it has come.`,
  drawing: "The picture is being drawn …",
  saved: (file: string) => `Saved as ${file}.`,
  failed: "There is nothing drawn yet that a picture could be made of.",
};
