import { useSignalEffect } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { ComponentChildren, JSX } from "preact";
import { mountChart } from "../chart.ts";
import type { MountedChart, Picture } from "../chart.ts";
import type { Pointing } from "../chart_pointer.ts";
import type { WallTime } from "../models/wall_time.ts";
import { chart as words } from "../words.ts";
import "./chart_view.css";

interface ChartViewProps {
  title: string;
  /** What the chart shows, for somebody who cannot see it. */
  label: string;
  unit: string;
  height: number;
  wall: WallTime;
  picture: Picture;
  /** Who follows the hand on the chart, and where the cursor is. */
  pointing?: Pointing & { cursor: ReadonlySignal<number | null> };
  /** Told of the chart once it is there, for whoever wants a picture of it. */
  mounted?: (chart: MountedChart | null) => void;
  /** In place of the usual legend. */
  legend?: ComponentChildren;
}

/** Ticks that are closer than this are told apart by their seconds. */
const MINUTE_S = 60;

/** A chart with its legend; the tables and figures of the page say the same in words. */
export function ChartView(props: ChartViewProps): JSX.Element {
  const { unit, height, wall, picture, pointing = null } = props;
  const host = useRef<HTMLDivElement>(null);
  const chart = useRef<MountedChart | null>(null);
  useEffect(() => {
    if (host.current === null) return undefined;
    const time = (epochS: number, stepS: number): string =>
      stepS < MINUTE_S ? wall.time(epochS * 1000) : wall.minute(epochS * 1000);
    const mounted = mountChart(host.current, { height, unit, time, pointing });
    mounted.point(pointing?.cursor.peek() ?? null);
    chart.current = mounted;
    props.mounted?.(mounted);
    return () => {
      props.mounted?.(null);
      mounted.destroy();
    };
  }, [height, unit, wall, pointing]);
  useEffect(() => chart.current?.show(picture), [picture, unit, wall, pointing]);
  useSignalEffect(() => chart.current?.point(pointing?.cursor.value ?? null));
  return (
    <section class="panel chart" aria-label={props.title}>
      <h2>{props.title}</h2>
      {props.legend === undefined ? <Legend picture={picture} /> : props.legend}
      {picture.t.length === 0 ? <p>{words.empty}</p> : null}
      <div class="chart-host" role="img" aria-label={props.label} ref={host} />
    </section>
  );
}

function Legend({ picture }: { picture: Picture }): JSX.Element {
  return (
    <ul class="legend">
      {picture.lines.map(({ label, style }) => (
        <li key={label}>
          <svg viewBox="0 0 44 12" aria-hidden="true">
            <line class={`line-${style}`} x1="0" x2="44" y1="6" y2="6" />
          </svg>
          {label}
        </li>
      ))}
      {picture.stretches.length === 0 ? null : (
        <li>
          <svg viewBox="0 0 44 12" aria-hidden="true">
            <rect class="good-lots" x="0.5" y="0.5" width="43" height="11" />
          </svg>
          {words.goodLots}
        </li>
      )}
    </ul>
  );
}
