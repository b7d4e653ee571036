import { useSignalEffect } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { JSX } from "preact";
import type { WorkshopModel } from "../models/workshop.ts";
import { links } from "../places.ts";
import type { Place } from "../places.ts";
import type { Router } from "../router.ts";
import {
  alarmHistory, attention, bench as benchWords, editor, health, instruments as instrumentsWords,
  lot as lotWords, lots as lotsWords, notices as noticesWords, page as words, pourDays,
  recipes as recipesWords,
} from "../words.ts";
import { AlarmReader } from "./alarm_reader.tsx";
import { AlarmsPage } from "./alarms_page.tsx";
import { BenchesPage } from "./benches_page.tsx";
import { BenchPage } from "./bench_page.tsx";
import { ComplaintBanner, ConnectionBanner, NoticeBanner, TroubleBanner } from "./banners.tsx";
import { HealthPage } from "./health_page.tsx";
import { InstrumentPage } from "./instrument_page.tsx";
import { InstrumentsPage } from "./instruments_page.tsx";
import { LotPage } from "./lot_page.tsx";
import { LotsPage } from "./lots_page.tsx";
import { NoticesPage } from "./notices_page.tsx";
import "./page.css";
import { PageHeader } from "./page_header.tsx";
import { NewRecipePage, RecipeEditorPage } from "./recipe_editor_page.tsx";
import { RecipesPage } from "./recipes_page.tsx";
import { PourDayPage } from "./pour_day_page.tsx";
import { PourDaysPage } from "./pour_days_page.tsx";
import { ScreenPage } from "./screen_page.tsx";

interface PageProps {
  workshop: WorkshopModel;
  router: Router;
}

interface PlaceProps extends PageProps {
  place: Place;
}

/** The frame of every screen: header, banners, the page itself and the caution. */
export function Page({ workshop, router }: PageProps): JSX.Element {
  const place = router.place.value;
  useTitle(workshop, router);
  useEffect(() => onEveryPress(() => workshop.attention.pressed()), [workshop]);
  return (
    <div class="page">
      <PageHeader workshop={workshop} place={place} />
      <TroubleBanner workshop={workshop} />
      <ConnectionBanner workshop={workshop} />
      <NoticeBanner workshop={workshop} />
      <ComplaintBanner workshop={workshop} />
      <AlarmReader workshop={workshop} />
      <main id="content" tabIndex={-1}>
        <PlacePage workshop={workshop} router={router} place={place} />
      </main>
    </div>
  );
}

function PlacePage({ workshop, router, place }: PlaceProps): JSX.Element {
  // What a page fetches waits for the connection, lest it be fetched twice.
  const ready = workshop.info.value !== null && workshop.connection.value > 0;
  if (!ready) return <p class="panel">{words.loading}</p>;
  switch (place.page) {
    case "bench": return <BenchPlace workshop={workshop} chosen={place.bench} />;
    case "benches": return <BenchesPage workshop={workshop} />;
    case "lots": {
      return <LotsPage workshop={workshop} router={router} filter={place.filter} />;
    }
    case "pour days": return <PourDaysPage workshop={workshop} />;
    case "pour day": {
      const key = place.id ?? "";
      return <PourDayPage key={key} workshop={workshop} router={router} id={place.id} />;
    }
    case "health": return <HealthPage workshop={workshop} />;
    case "lot":
      return (
        <LotPage key={place.id} workshop={workshop} id={place.id} part={router.part.value} />
      );
    case "instruments": return <InstrumentsPage workshop={workshop} />;
    case "instrument":
      return <InstrumentPage key={place.name} workshop={workshop} name={place.name} />;
    case "recipes":
      return <RecipesPage workshop={workshop} router={router} search={place.search} />;
    case "recipe": return (
      <RecipeEditorPage
        key={place.name} workshop={workshop} router={router} name={place.name}
        justKept={place.kept}
      />
    );
    case "new recipe": return (
      <NewRecipePage
        key={`${place.copy} ${place.example}`} workshop={workshop} router={router}
        copy={place.copy} example={place.example}
      />
    );
    case "alarms": return <AlarmsPage workshop={workshop} router={router} place={place} />;
    case "screen": return <ScreenPage workshop={workshop} />;
    case "notices": return <NoticesPage workshop={workshop} />;
    case "nowhere": return <Nowhere />;
  }
}

function BenchPlace(props: { workshop: WorkshopModel; chosen: string | null }): JSX.Element {
  const bench = props.workshop.benchNamed(props.chosen);
  if (bench === null) return <Nowhere />;
  return <BenchPage key={bench} workshop={props.workshop} bench={bench} />;
}

function Nowhere(): JSX.Element {
  return (
    <div class="panel">
      <h1>{words.notFound}</h1>
      <p>{words.mistyped}</p>
      <p><a href="/">{words.bench}</a> · <a href={links.lots}>{words.lots}</a></p>
    </div>
  );
}

/**
 * Whatever is pressed makes a browser audible that was told to chime before it was reloaded. Only
 * once the finger is off again: the page gets shorter by that, and would move under the hand.
 */
function onEveryPress(act: () => void): () => void {
  const presses = ["pointerup", "keydown"] as const;
  for (const press of presses) document.addEventListener(press, act, { capture: true });
  return () => {
    for (const press of presses) document.removeEventListener(press, act, { capture: true });
  };
}

/** The page's title: the most pressing alarm before all else, for a window behind others. */
function useTitle(workshop: WorkshopModel, router: Router): void {
  useSignalEffect(() => {
    const active = workshop.alarms.current.value.filter(({ state }) => state === "active");
    const [pressing] = active;
    const message = pressing === undefined ? null : workshop.preferences.told(pressing.message);
    document.title = words.title(nameOf(router.place.value, workshop), active.length, message);
  });
}

function nameOf(place: Place, workshop: WorkshopModel): string {
  switch (place.page) {
    case "bench": return workshop.benchNamed(place.bench) ?? words.bench;
    case "benches": return benchWords.all;
    case "lots": return lotsWords.title;
    case "pour days":
    case "pour day": return pourDays.title;
    case "health": return health.title;
    case "lot": return lotWords.title(place.id);
    case "instruments": return instrumentsWords.title;
    case "instrument": return place.name;
    case "recipes": return recipesWords.title;
    case "recipe": return place.name;
    case "new recipe": return editor.newTitle;
    case "alarms": return alarmHistory.title;
    case "screen": return attention.title;
    case "notices": return noticesWords.title;
    case "nowhere": return words.notFound;
  }
}
