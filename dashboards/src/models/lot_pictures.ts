import type { Picture } from "../chart.ts";
import type { Beside, CurveData, Display, GoodLots, Lot } from "../types.ts";
import { curve as words } from "../words.ts";
import { bandsOf, linesOf, marksOf, spansOf, stretchesOf } from "./pictures.ts";
import type { RoleLine } from "./pictures.ts";
import type { TimeSpan } from "./time_span.ts";

/** The first of the styles that other lots have. */
const BESIDE_STYLES = [4, 5, 6] as const;
/** A window this far from all that is in sight would only flatten it; degrees of the axis. */
const NEAR = 5;

/** What the charts of a lot are drawn from. */
export interface LotMaterial {
  lot: Lot;
  curves: readonly CurveData[];
  beside: readonly Beside[];
  goodLots: GoodLots | null;
}

/** Temperatures and masses over the whole lot. */
export interface LotPictures {
  warm: Picture;
  heavy: Picture;
}

export function lotPictures(material: LotMaterial, whole: TimeSpan, display: Display): LotPictures {
  const { lot, curves, beside, goodLots } = material;
  const roles = new Map(lot.channels.map(({ channel, role }) => [channel, role]));
  const lines = curves.map((curve) => ({ ...curve, role: roles.get(curve.channel) ?? "room" }));
  const notes = { ...whole, spans: spansOf(lot, whole.to), marks: marksOf(lot) };
  const warm = lines.filter(({ role }) => role !== "scale");
  const heavy = lines.filter(({ role }) => role === "scale");
  return {
    warm: {
      ...withOthers(warm, beside, display), ...notes,
      bands: bandsOf(lot, display), stretches: stretchesOf(goodLots, display),
    },
    heavy: { ...linesOf(heavy, display), ...notes, bands: [], stretches: [] },
  };
}

type Lines = Pick<Picture, "t" | "lines">;

function withOthers(
  lines: readonly RoleLine[], beside: readonly Beside[], display: Display,
): Lines {
  const others = beside.map(lineBeside);
  const found = linesOf([...lines, ...others], display);
  return {
    ...found,
    lines: found.lines.map((line, place) => {
      const style = BESIDE_STYLES[place - lines.length];
      return style === undefined ? line : { ...line, style };
    }),
  };
}

/** Another lot's stretches as one line, with a gap before each. */
function lineBeside({ lot, stretches }: Beside): RoleLine {
  const [t, value]: [number[], (number | null)[]] = [[], []];
  for (const stretch of stretches) {
    const last = t.at(-1);
    const first = stretch.t[0];
    if (first === undefined || (last !== undefined && first <= last)) continue;
    if (last !== undefined) {
      t.push((last + first) / 2);
      value.push(null);
    }
    t.push(...stretch.t);
    value.push(...stretch.value);
  }
  return { channel: words.besideLine(lot), role: "pitcher", t, value };
}

/** What of a picture is in sight: the span, without the lines that are switched off. */
export function inSight(
  picture: Picture, shown: TimeSpan, hidden: ReadonlySet<string>, close: boolean,
): Picture {
  const lines = picture.lines.filter(({ label }) => !hidden.has(label));
  const seen = { ...picture, ...shown, lines };
  if (!close) return seen;
  const stretches = picture.stretches.map((stretch) => partOf(stretch, shown))
    .filter(({ t }) => t.length > 0);
  const [low, high] = extentOf(seen, stretches);
  const bands = picture.bands.filter((band) => band.high >= low - NEAR && band.low <= high + NEAR);
  return { ...seen, stretches, bands };
}

type Stretch = Picture["stretches"][number];

/** The part of a stretch that is in sight, and a point beyond it at either end. */
function partOf({ t, low, high }: Stretch, { from, to }: TimeSpan): Stretch {
  const kept = t.map((_at, place) => place).filter((place) => {
    const at = t[place] ?? from;
    return (t[place + 1] ?? at) >= from && (t[place - 1] ?? at) <= to;
  });
  const of = (values: readonly number[]): number[] => kept.map((place) => values[place] ?? 0);
  return { t: of(t), low: of(low), high: of(high) };
}

/** The lowest and the highest value in sight; an empty chart reaches everywhere. */
function extentOf(
  { t, lines, from, to }: Picture, stretches: readonly Stretch[],
): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  const take = (value: number | null | undefined): void => {
    if (typeof value !== "number") return;
    low = Math.min(low, value);
    high = Math.max(high, value);
  };
  t.forEach((at, place) => {
    if (at >= from && at <= to) lines.forEach(({ values }) => take(values[place]));
  });
  for (const stretch of stretches) [...stretch.low, ...stretch.high].forEach(take);
  return low > high ? [-Infinity, Infinity] : [low, high];
}
