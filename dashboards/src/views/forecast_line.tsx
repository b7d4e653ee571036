import { useEffect, useRef, useState } from "preact/hooks";
import type { JSX } from "preact";
import { ahead, passedSince, trendOf } from "../models/forecast.ts";
import type { Trend } from "../models/forecast.ts";
import { temperatureStep, text } from "../models/quantities.ts";
import type { WorkshopModel } from "../models/workshop.ts";
import type { BenchState, TemperatureTask } from "../types.ts";
import { forecast as words } from "../words.ts";
import { Sign } from "./sign.tsx";
import type { SignName } from "./sign.tsx";

const SIGNS: Record<Trend, SignName> = { falling: "down", rising: "up", steady: "dash" };
/** A screen reader hears of a forecast this often at most. */
const READ_OUT_MS = 60_000;

interface ForecastProps {
  workshop: WorkshopModel;
  at: BenchState["at"];
  task: TemperatureTask;
}

/** Where the temperature is going, and when its window opens and closes. */
export function ForecastLine({ workshop, at, task }: ForecastProps): JSX.Element | null {
  const passedS = passedSince(at, workshop.clock.second.value * 1000);
  const said = workshop.preferences.told(forecastText(task, passedS));
  const readOut = usePaced(said, READ_OUT_MS);
  const trend = task.trend_degc_per_min ?? null;
  if (trend === null && said === "") return null;
  return (
    <div class="forecast">
      {trend === null ? null : <TrendText workshop={workshop} rate={trend} />}
      {said === "" ? null : <p>{said}</p>}
      <p class="unseen" role="status">{readOut === "" ? null : readOut}</p>
    </div>
  );
}

function TrendText(props: { workshop: WorkshopModel; rate: number }): JSX.Element {
  const trend = trendOf(props.rate);
  const display = props.workshop.preferences.display.value;
  const rate = text(temperatureStep(Math.abs(props.rate), display));
  return <p class="trend"><Sign name={SIGNS[trend]} /> {words.trend[trend](rate)}</p>;
}

function forecastText(task: TemperatureTask, passedS: number): string {
  const opens = task.opens_in_s ?? null;
  const closes = task.closes_in_s ?? null;
  if (opens === null && closes === null) return task.why ?? "";
  const parts = [
    opens === null ? null : words.opens(words.ahead(ahead(opens, passedS))),
    closes === null ? null : words.closes(words.ahead(ahead(closes, passedS))),
  ].filter((part) => part !== null);
  return words.window(parts);
}

/** The latest text, but a new one only every so often; what is there at first is not news. */
function usePaced(text: string, everyMs: number): string {
  const [shown, show] = useState("");
  const latest = useRef(text);
  latest.current = text;
  useEffect(() => {
    const timer = window.setInterval(() => show(latest.current), everyMs);
    return () => window.clearInterval(timer);
  }, [everyMs]);
  return shown;
}
