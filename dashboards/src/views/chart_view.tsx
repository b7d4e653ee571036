import { useEffect, useRef } from "preact/hooks";
import type { JSX } from "preact";
import { mountChart } from "../chart.ts";
import type { MountedChart, Picture } from "../chart.ts";
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
  /** Told of the chart once it is there, for whoever wants a picture of it. */
  mounted?: (chart: MountedChart | null) => void;
}

/** A chart with its legend; the tables and figures of the page say the same in words. */
export function ChartView(props: ChartViewProps): JSX.Element {
  const { unit, height, wall, picture } = props;
  const host = useRef<HTMLDivElement>(null);
  const chart = useRef<MountedChart | null>(null);
  useEffect(() => {
    if (host.current === null) return undefined;
    const time = (epochS: number): string => wall.minute(epochS * 1000);
    const mounted = mountChart(host.current, { height, unit, time });
    chart.current = mounted;
    props.mounted?.(mounted);
    return () => {
      props.mounted?.(null);
      mounted.destroy();
    };
  }, [height, unit, wall]);
  useEffect(() => chart.current?.show(picture), [picture, unit, wall]);
  return (
    <section class="panel chart" aria-label={props.title}>
      <h2>{props.title}</h2>
      <Legend picture={picture} />
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
