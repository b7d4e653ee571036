import type { TimeSpan } from "./time_span.ts";

/** What the address of a lot says beside the lot: the part that is looked at, and other lots. */
export interface LotAddress {
  span: TimeSpan | null;
  beside: readonly string[];
}

/** More lines than these on one chart nobody tells apart. */
export const MOST_BESIDE = 3;

/** Reads the query of an address; what cannot be understood in it is left out. */
export function readAddress(query: string): LotAddress {
  const asked = new URLSearchParams(query);
  const [from, to] = [secondsOf(asked.get("from")), secondsOf(asked.get("to"))];
  const span = from !== null && to !== null && from < to ? { from, to } : null;
  const named = (asked.get("beside") ?? "").split(",").filter((id) => id !== "");
  return { span, beside: [...new Set(named)].slice(0, MOST_BESIDE) };
}

/** The query that leads to the same; what else the address asks for stays. */
export function writeAddress({ span, beside }: LotAddress, query: string): string {
  const asked = new URLSearchParams(query);
  for (const key of ["from", "to", "beside"]) asked.delete(key);
  const parts = asked.size === 0 ? [] : [asked.toString()];
  // By hand: colons and commas may stand in a query as they are, and are read more easily so.
  if (span !== null) parts.push(`from=${instantOf(span.from)}`, `to=${instantOf(span.to)}`);
  if (beside.length > 0) parts.push(`beside=${beside.map(encodeURIComponent).join(",")}`);
  return parts.length === 0 ? "" : `?${parts.join("&")}`;
}

/** Epoch seconds as RFC 3339 text, to the millisecond. */
export function instantOf(epochS: number): string {
  return new Date(Math.round(epochS * 1000)).toISOString();
}

function secondsOf(text: string | null): number | null {
  const ms = text === null ? Number.NaN : Date.parse(text);
  return Number.isNaN(ms) ? null : ms / 1000;
}
