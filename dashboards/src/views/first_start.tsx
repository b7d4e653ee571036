import type { ComponentChildren, JSX } from "preact";
import type { BenchModel } from "../models/bench.ts";
import { mass, temperature, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Instrument, RecipeEntry, Role } from "../types.ts";
import { chart, firstStart as words, instruments as states, reading } from "../words.ts";
import "./first_start.css";
import { INSTRUMENT_SIGNS } from "./instrument_row.tsx";
import { OpenLotForm } from "./open_lot_form.tsx";
import { Sign } from "./sign.tsx";

type StepState = keyof typeof words.state;

const NEEDED = ["scale", "pitcher", "pot"] as const;

interface FirstStartProps {
  workshop: WorkshopModel;
  bench: BenchModel;
  recipes: readonly RecipeEntry[];
}

/** What leads from an empty workshop to its first lot: one thing after the other. */
export function FirstStart({ workshop, bench, recipes }: FirstStartProps): JSX.Element {
  const here = workshop.instruments.at(bench.name);
  const recipe = recipes.find((each) => !each.retired);
  const known: StepState = here.length > 0 ? "done" : "next";
  return (
    <section class="panel first-start" aria-labelledby="first-start-title">
      <h2 id="first-start-title">{words.title}</h2>
      <ol>
        <Step n={1} title={words.instruments} state={known}>
          <Found workshop={workshop} here={here} />
        </Step>
        <Step n={2} title={words.recipe} state={recipe === undefined ? "next" : "done"}>
          {recipe === undefined ? <FirstRecipe /> : <p>{words.recipeDone(recipe.name)}</p>}
        </Step>
        <Step n={3} title={words.lot} state={recipe === undefined ? "later" : "next"}>
          {recipe === undefined ? <p class="soft">{words.lotLater}</p> : (
            <>
              <p>{words.lotWhat}</p>
              <OpenLotForm workshop={workshop} bench={bench} />
            </>
          )}
        </Step>
      </ol>
    </section>
  );
}

interface StepProps {
  n: number;
  title: string;
  state: StepState;
  children: ComponentChildren;
}

function Step({ n, title, state, children }: StepProps): JSX.Element {
  return (
    <li class={`first-step ${state}`}>
      <h3>
        {words.step(n, title)}
        <span class="state">
          {state === "done" ? <Sign name="check" /> : null}{words.state[state]}
        </span>
      </h3>
      {children}
    </li>
  );
}

function FirstRecipe(): JSX.Element {
  return (
    <>
      <p>{words.recipeWhat}</p>
      <p class="ways">
        <a class="button first" href={links.exampleRecipe}>{words.example}</a>
        <a class="button" href={links.newRecipe}>{words.blank}</a>
      </p>
    </>
  );
}

function Found(props: { workshop: WorkshopModel; here: readonly Instrument[] }): JSX.Element {
  const { workshop, here } = props;
  if (here.length === 0) return <p>{words.none}</p>;
  const roles = new Set<Role>(here.map(({ role }) => role));
  const missing = NEEDED.filter((role) => !roles.has(role));
  return (
    <>
      <p>{words.found}</p>
      <ul class="found">
        {here.map((instrument) => (
          <li key={instrument.name}>
            <Sign name={INSTRUMENT_SIGNS[instrument.state]} />
            <span>{chart.roles[instrument.role]} · {states.state[instrument.state]}</span>
            <strong class="digits">{latestText(workshop, instrument)}</strong>
          </li>
        ))}
      </ul>
      {missing.map((role) => <p key={role}>{words.missing[role]}</p>)}
      {here.every(({ state }) => state === "reading") ? null : <p>{words.silent}</p>}
    </>
  );
}

function latestText(workshop: WorkshopModel, { name, role }: Instrument): string {
  const latest = workshop.instruments.latest(name);
  if (latest === null) return reading.none;
  if (latest.quality === "bad") return reading.bad;
  const display = workshop.preferences.display.value;
  return text((role === "scale" ? mass : temperature)(latest.value, display));
}
