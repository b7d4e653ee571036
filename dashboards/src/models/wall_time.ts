import type { Instant } from "../types.ts";

/** Times of day and dates as the workshop's wall clock shows them, 24 h. */
export class WallTime {
  readonly #time: Intl.DateTimeFormat;
  readonly #minute: Intl.DateTimeFormat;
  readonly #day: Intl.DateTimeFormat;

  /** `timezone` is an IANA name. Throws RangeError where the browser does not know it. */
  constructor(timezone: string) {
    const zone = { timeZone: timezone, hourCycle: "h23" } as const;
    const minute = { ...zone, hour: "2-digit", minute: "2-digit" } as const;
    this.#minute = new Intl.DateTimeFormat("en-GB", minute);
    this.#time = new Intl.DateTimeFormat("en-GB", { ...minute, second: "2-digit" });
    this.#day = new Intl.DateTimeFormat("en-GB", {
      timeZone: timezone, day: "numeric", month: "short", year: "numeric",
    });
  }

  /** "14:03:07" */
  time(at: Instant | number): string {
    return this.#time.format(moment(at));
  }

  /** "14:03" */
  minute(at: Instant | number): string {
    return this.#minute.format(moment(at));
  }

  /** "25 Nov 2026, 14:03" */
  moment(at: Instant | number): string {
    return `${this.day(at)}, ${this.minute(at)}`;
  }

  /** "25 Nov 2026" */
  day(at: Instant | number): string {
    return this.#day.format(moment(at));
  }
}

function moment(at: Instant | number): number {
  return typeof at === "number" ? at : Date.parse(at);
}
