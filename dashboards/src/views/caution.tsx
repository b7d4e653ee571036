import type { JSX } from "preact";
import { page as words } from "../words.ts";

/** Said once on every screen where heat is shown. */
export function Caution(): JSX.Element {
  return (
    <aside class="caution soft" aria-label={words.cautionTitle}>
      <p>{words.caution}</p>
    </aside>
  );
}
