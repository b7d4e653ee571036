/** The pages, told apart by their path. */
export type Place =
  | { page: "bench"; bench: string | null }
  | { page: "lots" }
  | { page: "lot"; id: string }
  | { page: "notices" }
  | { page: "nowhere" };

/** Reads an address, path and query, such as "/lots/7" or "/?bench=quay". */
export function placeOf(address: string): Place {
  const url = new URL(address, "http://screen");
  const path = url.pathname.replace(/\/+$/, "");
  if (path === "") return { page: "bench", bench: url.searchParams.get("bench") };
  if (path === "/lots") return { page: "lots" };
  if (path === "/notices") return { page: "notices" };
  const lot = /^\/lots\/([^/]+)$/.exec(path)?.[1];
  const id = lot === undefined ? null : decoded(lot);
  return id === null ? { page: "nowhere" } : { page: "lot", id };
}

/** Undoes the escapes of a path's part; null where they are broken, as in a mistyped address. */
function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch (error) {
    if (error instanceof URIError) return null;
    throw error;
  }
}

export const links = {
  bench: (bench: string): string => `/?bench=${encodeURIComponent(bench)}`,
  lots: "/lots",
  notices: "/notices",
  lot: (id: string): string => `/lots/${encodeURIComponent(id)}`,
};
