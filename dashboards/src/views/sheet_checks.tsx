import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import { told } from "../models/told.ts";
import type { BatchSheet, Display, LoadLimit, PotRemainder } from "../types.ts";
import { sheet as words } from "../words.ts";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

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
      {limits.map((limit) => <LimitRow key={`${limit.by} ${limit.basis}`} limit={limit} />)}
      {pot === null ? null : <PotRow pot={pot} display={display} />}
    </dl>
  );
}

function LimitRow({ limit }: { limit: LoadLimit }): JSX.Element {
  const kept = limit.load <= limit.most;
  return (
    <dd>
      <p>{words.limit(limit.by, percent(limit.most), limit.basis)}</p>
      <Check kept={kept} sign="up" text={words.share(percent(limit.load))} />
    </dd>
  );
}

function PotRow({ pot, display }: { pot: PotRemainder; display: Display }): JSX.Element {
  const { left, enough } = pot;
  const needed = text(mass(pot.needed, display));
  return (
    <>
      <dt>{words.pot}</dt>
      <dd>
        {left === null ? words.needed(needed) : words.left(text(mass(left, display)), needed)}
        {enough === null
          ? null
          : <Check kept={enough} sign="down" text={enough ? words.enough : words.short} />}
      </dd>
      {pot.message === "" ? null : <dd>{told(pot.message, display)}</dd>}
    </>
  );
}

function Check(props: { kept: boolean; sign: SignName; text: string }): JSX.Element {
  const { kept, sign, text } = props;
  return (
    <span class={kept ? "fine" : "off"}><Sign name={kept ? "check" : sign} />{text}</span>
  );
}

/** At most two decimals, and none that say nothing. */
function percent(value: number): string {
  return String(Number(value.toFixed(2)));
}
