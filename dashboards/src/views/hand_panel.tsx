import type { JSX } from "preact";
import type { HandReadings } from "../models/hand_readings.ts";
import type { Said } from "../models/typing.ts";
import type { TypedUnit } from "../models/typed_value.ts";
import { chart, hand as words } from "../words.ts";
import "./hand_panel.css";
import { NumberPad } from "./number_pad.tsx";

const UNIT_NAMES: Record<TypedUnit, string> = { degC: "°C", degF: "°F", g: "g", oz: "oz" };

/** Readings of instruments without a lead, typed with a thumb. */
export function HandPanel({ readings }: { readings: HandReadings }): JSX.Element | null {
  const instrument = readings.instrument.value;
  if (instrument === null) return null;
  const { typing } = readings;
  const unit = readings.unit();
  const name = UNIT_NAMES[unit];
  const isScale = instrument.role === "scale";
  const submit = (event: Event): void => {
    event.preventDefault();
    void typing.submit(unit);
  };
  return (
    <section class="panel hand" aria-label={words.title}>
      <h2>{words.title}</h2>
      <Choice readings={readings} />
      <form noValidate onSubmit={submit}>
        <p class="hand-value">
          <input
            inputMode="none" autoComplete="off" aria-label={words.value(instrument.name, name)}
            value={typing.text.value} onInput={(event) => typing.type(event.currentTarget.value)}
          />
          <span class="unit">{name}</span>
        </p>
        <NumberPad typing={typing} />
        <div class="hand-keep">
          <button type="submit" class="does">{words.keep(instrument.name)}</button>
          {isScale ? (
            <button
              type="button" onClick={() => {
                typing.type("0");
                void typing.submit(unit);
              }}
            >
              {words.zero}
            </button>
          ) : null}
        </div>
      </form>
      <p class="hand-said" role="status">{saidText(typing.said.value)}</p>
      <p class="soft">{isScale ? words.about.scale : words.about.thermometer}</p>
    </section>
  );
}

function Choice({ readings }: { readings: HandReadings }): JSX.Element | null {
  const instruments = readings.instruments.value;
  if (instruments.length < 2) return null;
  const now = readings.instrument.value?.name;
  return (
    <div class="hand-choice" role="group" aria-label={words.which}>
      {instruments.map(({ name, role }) => (
        <button
          key={name} type="button" aria-pressed={name === now}
          onClick={() => readings.choose(name)}
        >
          {name}
          <small>{chart.roles[role]}</small>
        </button>
      ))}
    </div>
  );
}

function saidText(said: Said | null): string {
  switch (said?.kind) {
    case undefined: return "";
    case "no number": return words.noNumber;
    case "sure": return words.sure(said.shown, UNIT_NAMES[said.unit]);
    case "kept": return words.kept(said.shown, UNIT_NAMES[said.unit]);
  }
}
