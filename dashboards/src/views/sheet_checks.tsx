import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import { told } from "../models/told.ts";
import type { BatchSheet, Display, LoadLimit, PotRemainder } from "../types.ts";
import { sheet as words } from "../words_of_a_lot.ts";
import { Sign } from "./sign.tsx";

interface ChecksProps {
  sheet: BatchSheet;
  display: Display;
}

/** What the lot's grams are held against: how much fragrance is allowed, what the pot holds. */
export function SheetChecks({ sheet, display }: ChecksProps): JSX.Element | null {
  const { limits = [], pot = null } = sheet;
  if (limits.length === 0 && pot === null) return null;
  return (
    <dl class="sheet-checks">
      {limits.length === 0 ? null : <dt>{words.limits}</dt>}
      {limits.map((limit) => <LimitRow key={`${limit.name} ${limit.of}`} limit={limit} />)}
      {pot === null ? null : <PotRow pot={pot} display={display} />}
    </dl>
  );
}

function LimitRow({ limit }: { limit: LoadLimit }): JSX.Element {
  const over = limit.lot > limit.at_most;
  return (
    <dd>
      {words.limit(limit.name, percent(limit.at_most), limit.of)}
      <span class={over ? "off" : "fine"}>
        <Sign name={over ? "up" : "check"} />{words.share(percent(limit.lot))}
      </span>
    </dd>
  );
}

function PotRow({ pot, display }: { pot: PotRemainder; display: Display }): JSX.Element {
  const { left, needed, enough } = pot;
  return (
    <>
      <dt>{words.pot}</dt>
      <dd>
        {words.left(text(mass(left, display)), text(mass(needed, display)))}
        <span class={enough ? "fine" : "off"}>
          <Sign name={enough ? "check" : "down"} />{enough ? words.enough : words.short}
        </span>
      </dd>
      {pot.message === "" ? null : <dd>{told(pot.message, display)}</dd>}
    </>
  );
}

/** At most two decimals, and none that say nothing. */
function percent(value: number): string {
  return String(Number(value.toFixed(2)));
}
