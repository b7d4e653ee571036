import type { Signal } from "@preact/signals";
import type { JSX } from "preact";
import type { PreferencesModel } from "../models/preferences.ts";
import { attention as words } from "../words.ts";

const DEGREES = { degC: "°C", degF: "°F" } as const;
const MASSES = { g: "g", oz: "oz" } as const;

/** The units in which this person reads. */
export function UnitChoice({ preferences }: { preferences: PreferencesModel }): JSX.Element {
  const { temperature, mass } = preferences.display.value;
  return (
    <>
      <Units
        label={words.units} names={DEGREES} now={temperature} choice={preferences.temperature}
      />
      <Units label={words.masses} names={MASSES} now={mass} choice={preferences.mass} />
    </>
  );
}

interface UnitsProps<U extends string> {
  label: string;
  names: Readonly<Record<U, string>>;
  now: U;
  choice: Signal<U | null>;
}

function Units<U extends string>({ label, names, now, choice }: UnitsProps<U>): JSX.Element {
  const units = Object.keys(names) as U[];
  return (
    <fieldset class="unit-choice">
      <legend>{label}</legend>
      {units.map((unit) => (
        <button
          key={unit} type="button" aria-pressed={unit === now}
          onClick={() => choice.value = unit}
        >
          {names[unit]}
        </button>
      ))}
    </fieldset>
  );
}
