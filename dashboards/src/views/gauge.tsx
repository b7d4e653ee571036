import type { JSX } from "preact";

const WIDTH = 400;
const HEIGHT = 28;
const POINTER = 8;

interface GaugeProps {
  /** What the whole width stands for. */
  from: number;
  to: number;
  /** The part of it that is right. */
  low: number;
  high: number;
  value: number;
}

/** A plain rule with the window on it and a pointer; the words beside it say the same. */
export function Gauge({ from, to, low, high, value }: GaugeProps): JSX.Element {
  const x = (at: number): number => {
    const share = (at - from) / (to - from);
    return Math.min(1, Math.max(0, share)) * (WIDTH - POINTER) + POINTER / 2;
  };
  const box = `0 0 ${WIDTH} ${HEIGHT}`;
  const [left, right, point] = [x(low), x(high), x(value) - POINTER / 2];
  return (
    <svg class="gauge" viewBox={box} preserveAspectRatio="none" aria-hidden="true">
      <rect class="gauge-track" x="0.5" y="6.5" width={WIDTH - 1} height="15" />
      <rect class="gauge-band" x={left} y="6.5" width={Math.max(2, right - left)} height="15" />
      <rect class="gauge-pointer" x={point} y="0" width={POINTER} height={HEIGHT} />
    </svg>
  );
}
