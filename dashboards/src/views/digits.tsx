import type { JSX } from "preact";
import { MINUS } from "../models/quantities.ts";

/** A number whose sign is not struck through with it: a line over a minus sign would hide it. */
export function Digits({ text }: { text: string }): JSX.Element {
  if (!text.startsWith(MINUS)) return <>{text}</>;
  return <><span class="minus">{MINUS}</span>{text.slice(MINUS.length)}</>;
}
