import type { Instant } from "./types.ts";

/** When something was taken back, and why. */
export interface TakenBack {
  at: Instant;
  reason: string;
}

/** What a person wrote about a lot. */
export interface Note {
  id: string;
  at: Instant;
  text: string;
  removed: TakenBack | null;
}

/** A photograph of a lot; pixels are null where the picture does not say. */
export interface Photograph {
  id: string;
  at: Instant;
  caption: string;
  width: number | null;
  height: number | null;
  bytes: number;
  removed: TakenBack | null;
}
