import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import type { Place } from "../places.ts";
import { page as words } from "../words.ts";
import { Navigation } from "./navigation.tsx";
import "./page_header.css";
import { SoundButton } from "./sound_button.tsx";

interface HeaderProps {
  workshop: WorkshopModel;
  place: Place;
}

export function PageHeader({ workshop, place }: HeaderProps): JSX.Element {
  const info = workshop.info.value;
  return (
    <header class="page-header">
      <a class="skip" href="#content">{words.skip}</a>
      <p class="product">
        {words.product}
        {info === null ? null : <span class="soft"> · {info.name}</span>}
      </p>
      {info !== null && info.speed > 1
        ? <p class="simulated">{words.simulated(info.speed)}</p>
        : null}
      <Navigation workshop={workshop} place={place} />
      <SoundButton attention={workshop.attention} />
      <Units workshop={workshop} />
      <Clock workshop={workshop} />
    </header>
  );
}

function Units({ workshop }: { workshop: WorkshopModel }): JSX.Element {
  const { preferences } = workshop;
  const { temperature, mass } = preferences.display.value;
  const degrees = temperature === "degC" ? "°C" : "°F";
  return (
    <div class="units" role="group" aria-label={words.units}>
      <button type="button" onClick={() => preferences.switchTemperature()}>
        <span aria-hidden="true">{degrees}</span>
        <span class="unseen">{words.switchTemperature(degrees)}</span>
      </button>
      <button type="button" onClick={() => preferences.switchMass()}>
        <span aria-hidden="true">{mass}</span>
        <span class="unseen">{words.switchMass(mass)}</span>
      </button>
    </div>
  );
}

function Clock({ workshop }: { workshop: WorkshopModel }): JSX.Element | null {
  if (workshop.info.value === null) return null;
  const time = workshop.wall.value.time(workshop.clock.second.value * 1000);
  return <p class="clock digits">{time}</p>;
}
