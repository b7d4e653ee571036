import type { Display, Role } from "../types.ts";

/** Digits and unit apart, so that a screen can set them in different sizes. */
export interface Shown {
  digits: string;
  unit: string;
}

export const MINUS = "\u2212";
/** Exact by definition: the international avoirdupois ounce, NIST SP 811 (2008), appendix B.8. */
export const GRAMS_PER_OUNCE = 28.349523125;

interface Scale {
  unit: string;
  decimals: number;
  factor: number;
  offset: number;
}

const TEMPERATURES: Record<Display["temperature"], Scale> = {
  degC: { unit: "°C", decimals: 1, factor: 1, offset: 0 },
  // NIST SP 811 (2008), appendix B.8: t/°F = 1.8 t/°C + 32
  degF: { unit: "°F", decimals: 1, factor: 1.8, offset: 32 },
};

const MASSES: Record<Display["mass"], Scale> = {
  g: { unit: "g", decimals: 1, factor: 1, offset: 0 },
  oz: { unit: "oz", decimals: 2, factor: 1 / GRAMS_PER_OUNCE, offset: 0 },
};

/** A number with so many decimals and a real minus sign, which nothing of no size has. */
export function digits(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? MINUS + text : text;
}

function show(value: number, scale: Scale, offset: number): Shown {
  return { digits: digits(value * scale.factor + offset, scale.decimals), unit: scale.unit };
}

export function temperature(degC: number, display: Display): Shown {
  const scale = TEMPERATURES[display.temperature];
  return show(degC, scale, scale.offset);
}

/** A difference of temperatures: without the offset of the scale. */
export function temperatureStep(degC: number, display: Display): Shown {
  return show(degC, TEMPERATURES[display.temperature], 0);
}

export function mass(grams: number, display: Display): Shown {
  return show(grams, MASSES[display.mass], 0);
}

const FINE: Record<Display["temperature"] | Display["mass"], number> = {
  degC: 2, degF: 2, g: 2, oz: 3,
};

/** The scale of a role's values with a digit more: what a calibration is about. */
function fineScale(role: Role, { mass, temperature }: Display): Scale {
  return role === "scale"
    ? { ...MASSES[mass], decimals: FINE[mass] }
    : { ...TEMPERATURES[temperature], decimals: FINE[temperature] };
}

/** A value of a thermometer or a scale with a digit more. */
export function fine(value: number, role: Role, display: Display): Shown {
  const scale = fineScale(role, display);
  return show(value, scale, scale.offset);
}

/** A difference of such values: without the offset of the scale. */
export function difference(value: number, role: Role, display: Display): Shown {
  return show(value, fineScale(role, display), 0);
}

/** A correction, with its sign. */
export function correction(value: number, role: Role, display: Display): Shown {
  const shown = difference(value, role, display);
  const up = value > 0 && Number(shown.digits) !== 0;
  return { ...shown, digits: up ? `+${shown.digits}` : shown.digits };
}

/** A value on the chart's axis, in the display's unit. */
export function temperatureNumber(degC: number, display: Display): number {
  const scale = TEMPERATURES[display.temperature];
  return degC * scale.factor + scale.offset;
}

export function massNumber(grams: number, display: Display): number {
  return grams * MASSES[display.mass].factor;
}

export function text(shown: Shown): string {
  return `${shown.digits} ${shown.unit}`;
}

/** Minutes and seconds, with hours where there are any: "1:05", "26:03:10". */
export function duration(seconds: number): string {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (part: number): string => String(part).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  const tail = two(whole % 60);
  return hours > 0 ? `${hours}:${two(minutes)}:${tail}` : `${minutes}:${tail}`;
}
