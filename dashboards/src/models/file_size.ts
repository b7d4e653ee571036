const UNITS = ["B", "kB", "MB", "GB"] as const;

/** A number of bytes as a person reads it: two digits, SI units (1 kB is 1,000 B). */
export function fileSize(bytes: number): string {
  let value = Math.max(0, bytes);
  let place = 0;
  while (value >= 999.5 && place < UNITS.length - 1) {
    value /= 1000;
    place += 1;
  }
  const digits = value < 9.95 && place > 0 ? value.toFixed(1) : String(Math.round(value));
  return `${digits} ${UNITS[place]}`;
}
