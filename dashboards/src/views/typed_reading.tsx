import { useState } from "preact/hooks";
import type { JSX } from "preact";
import { fine, text } from "../models/quantities.ts";
import { UNIT_NAMES, isSuspicious, typedNumber, unitFor } from "../models/typed_value.ts";
import type { TypedUnit } from "../models/typed_value.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Instrument } from "../types.ts";
import { instruments as words } from "../words.ts";

interface TypedProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

/** A field for the value of an instrument without a lead, in the unit that is on the screen. */
export function TypedReading({ workshop, instrument }: TypedProps): JSX.Element {
  const unit = unitFor(instrument.role, workshop.preferences.display.value);
  const name = UNIT_NAMES[unit];
  const typing = useTyping(unit, async (value) => {
    const kept = await workshop.outside.service.typeReading(instrument.name, value, unit);
    const display = workshop.preferences.display.value;
    return text(fine(kept.value, instrument.role, display));
  }, workshop, instrument.calibration !== null);
  const submit = (event: Event): void => {
    event.preventDefault();
    typing.submit();
  };
  return (
    <>
      <form noValidate onSubmit={submit}>
        <input
          inputMode="decimal" autoComplete="off" aria-label={words.typed(instrument.name, name)}
          placeholder={name} value={typing.text}
          onInput={(event) => typing.type(event.currentTarget.value)}
        />
        <button type="submit">{words.type}</button>
      </form>
      <p class="typed-said" role="status">{typing.said}</p>
    </>
  );
}

interface Typing {
  text: string;
  said: string;
  type: (text: string) => void;
  submit: () => void;
}

/** What is typed and what is said about it; a suspicious value is kept at the second press. */
function useTyping(
  unit: TypedUnit, keep: (value: number) => Promise<string>, { complaints }: WorkshopModel,
  corrected: boolean,
): Typing {
  const [typed, setText] = useState("");
  const [said, say] = useState("");
  const [asked, ask] = useState<string | null>(null);
  const type = (next: string): void => {
    setText(next);
    say("");
    ask(null);
  };
  const submit = (): void => {
    const value = typedNumber(typed);
    if (value === null) return say(words.notANumber);
    const [shown, question] = [typed.trim(), `${value} ${unit}`];
    if (isSuspicious(value, unit) && asked !== question) {
      ask(question);
      return say(words.sure(shown, UNIT_NAMES[unit]));
    }
    void complaints.act(async () => {
      const kept = await keep(value);
      type("");
      say(corrected ? words.keptAs(kept, shown) : words.kept(shown, UNIT_NAMES[unit]));
    });
  };
  return { text: typed, said, type, submit };
}
