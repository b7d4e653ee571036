import type { Calibration, Display, LineShown, Role } from "../types.ts";
import { calibration as words } from "../words.ts";
import { correction, text } from "./quantities.ts";
import type { WallTime } from "./wall_time.ts";

/** A gain that differs by less is none: a thousandth of a percent. */
const TINY = 1e-5;

/** What a correction does, in words: "−0.40 °C everywhere and +0.25 % of the value". */
export function lineWords(line: LineShown, role: Role, display: Display): string {
  const share = line.gain - 1;
  const percent = `${share < 0 ? "\u2212" : "+"}${Math.abs(share * 100).toFixed(2)} %`;
  return words.line(
    line.offset === 0 ? null : words.offset(text(correction(line.offset, role, display))),
    Math.abs(share) < TINY ? null : words.gain(percent),
  );
}

/** When a calibration was made and of how much, in words. */
export function sinceWords({ at, age_days: days, points }: Calibration, wall: WallTime): string {
  return words.since(wall.day(at), words.age(days), points.length);
}
