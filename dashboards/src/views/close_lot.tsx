import { useEffect, useState } from "preact/hooks";
import type { JSX } from "preact";
import type { BenchModel } from "../models/bench.ts";
import { bench as words } from "../words.ts";

/** How long the second press may wait. */
const SURE_MS = 6_000;

/** Closes the lot at the second press: the first only asks. */
export function CloseLot({ bench }: { bench: BenchModel }): JSX.Element {
  const [asked, ask] = useState(false);
  useEffect(() => {
    if (!asked) return undefined;
    const timer = window.setTimeout(() => ask(false), SURE_MS);
    return () => window.clearTimeout(timer);
  }, [asked]);
  const press = (): void => {
    ask(!asked);
    if (asked) void bench.closeLot();
  };
  return (
    <button type="button" class="close-lot" disabled={bench.busy.value} onClick={press}>
      {asked ? words.closeSure : words.close}
    </button>
  );
}
