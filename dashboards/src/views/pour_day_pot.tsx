import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import { mass, text } from "../models/quantities.ts";
import type { PourDayModel } from "../models/pour_day.ts";
import type { PourDayDraft } from "../models/pour_day_draft.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { PotRemainder } from "../types.ts";
import { pourDays as words, sheet as sheetWords } from "../words.ts";
import { Sign } from "./sign.tsx";

interface PotProps {
  workshop: WorkshopModel;
  model: PourDayModel;
  draft: PourDayDraft;
}

/** What was melted against what the day needs, worked out while the plan changes. */
export function PourDayPot({ workshop, model, draft }: PotProps): JSX.Element {
  const problem = model.problem.value;
  const pot = model.shown.value?.pot ?? null;
  return (
    <section class="panel day-pot" aria-label={words.pot}>
      <h2>{words.pot}</h2>
      <div class="day-masses">
        <Mass id="melted" label={words.melted} hint={words.meltedHint} value={draft.melted} />
        <Mass id="residue" label={words.residue} hint={words.residueHint} value={draft.residue} />
      </div>
      <div role="status">
        {problem === null ? null : <p class="off"><Sign name="medium" />{problem}</p>}
        {pot === null || problem !== null ? null : <Remainder workshop={workshop} pot={pot} />}
      </div>
    </section>
  );
}

interface MassProps {
  id: string;
  label: string;
  hint: string;
  value: Signal<string>;
}

function Mass({ id, label, hint, value }: MassProps): JSX.Element {
  return (
    <div>
      <label for={id}>{label}</label>
      <input
        id={id} type="text" autoComplete="off" value={value.value} aria-describedby={`${id}-hint`}
        onInput={(event) => value.value = event.currentTarget.value}
      />
      <p class="soft" id={`${id}-hint`}>{hint}</p>
    </div>
  );
}

function Remainder({ workshop, pot }: { workshop: WorkshopModel; pot: PotRemainder }): JSX.Element {
  const display = workshop.preferences.display.value;
  const shown = (grams: number | null): string =>
    grams === null ? words.unknown : text(mass(grams, display));
  const facts: [string, string][] = [
    [words.mustHold, shown(pot.must_hold)], [words.drawn, shown(pot.drawn)],
    [words.left, shown(pot.left)], [words.needed, shown(pot.needed)],
  ];
  return (
    <>
      <dl class="day-facts">
        {facts.map(([name, value]) => (
          <div key={name}><dt>{name}</dt><dd class="digits">{value}</dd></div>
        ))}
      </dl>
      <p class={pot.enough === false ? "off" : ""}>
        {pot.enough === null ? null : <Sign name={pot.enough ? "check" : "medium"} />}
        {pot.enough === false ? <strong>{sheetWords.short}.</strong> : null}
        {workshop.preferences.told(pot.message)}
      </p>
    </>
  );
}
