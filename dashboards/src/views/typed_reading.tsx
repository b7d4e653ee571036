import { useState } from "preact/hooks";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Display, Instrument } from "../types.ts";
import { instruments as words } from "../words.ts";

const UNIT_NAMES = { degC: "°C", degF: "°F", g: "g", oz: "oz" };

interface TypedProps {
  workshop: WorkshopModel;
  instrument: Instrument;
}

/** A field for the value of an instrument without a lead, in the unit that is on the screen. */
export function TypedReading({ workshop, instrument }: TypedProps): JSX.Element {
  const [text, setText] = useState("");
  const unit = unitFor(instrument, workshop.preferences.display.value);
  const submit = (event: Event): void => {
    event.preventDefault();
    void workshop.complaints.act(async () => {
      const value = Number(text.replace(",", "."));
      await workshop.outside.service.typeReading(instrument.name, value, unit);
      setText("");
    });
  };
  return (
    <form onSubmit={submit}>
      <input
        inputMode="decimal" autoComplete="off" required pattern="\s*[-+]?\d+([.,]\d+)?\s*"
        title={words.notANumber} aria-label={words.typed(instrument.name, UNIT_NAMES[unit])}
        placeholder={UNIT_NAMES[unit]} value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <button type="submit">{words.type}</button>
    </form>
  );
}

function unitFor({ role }: Instrument, display: Display): keyof typeof UNIT_NAMES {
  return role === "scale" ? display.mass : display.temperature;
}
