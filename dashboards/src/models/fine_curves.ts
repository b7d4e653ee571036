import { signal } from "@preact/signals";
import type { Service } from "../feed/service.ts";
import type { CurveData } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { instantOf } from "./lot_address.ts";
import { widened } from "./time_span.ts";
import type { TimeSpan } from "./time_span.ts";

/** While somebody is still dragging or zooming, nothing is asked for. */
const SETTLE_MS = 250;
/** What is fetched beyond either end: lines run on to the edge, and a small move needs nothing. */
const BEYOND = 0.25;

interface Fetched {
  span: TimeSpan;
  curves: CurveData[];
}

/** The curves of the span that is looked at, with all the readings that the screen can show. */
export class FineCurves {
  readonly loading = signal(false);
  readonly #fetched = signal<Fetched | null>(null);
  readonly #lot: string;
  readonly #service: Service;
  readonly #complaints: Complaints;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #turn = 0;

  constructor(lot: string, service: Service, complaints: Complaints) {
    this.#lot = lot;
    this.#service = service;
    this.#complaints = complaints;
  }

  /** Asks for the curves of a span once it rests; null is the whole lot, which others fetch. */
  want(span: TimeSpan | null, channels: readonly string[]): void {
    this.close();
    this.loading.value = span !== null;
    if (span === null) {
      this.#fetched.value = null;
      return;
    }
    const turn = this.#turn;
    this.#timer = setTimeout(() => void this.#fetch(turn, span, channels), SETTLE_MS);
  }

  /** The finest there is of a span: what was fetched for it or around it, else `coarse`. */
  best(shown: TimeSpan, coarse: CurveData[]): CurveData[] {
    const fetched = this.#fetched.value;
    if (fetched === null) return coarse;
    const { from, to } = fetched.span;
    return shown.from >= from && shown.to <= to ? fetched.curves : coarse;
  }

  /** Drops what is under way. */
  close(): void {
    this.#turn += 1;
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
  }

  async #fetch(turn: number, span: TimeSpan, channels: readonly string[]): Promise<void> {
    const wide = widened(span, BEYOND);
    const ends = { from: instantOf(wide.from), to: instantOf(wide.to) };
    await this.#complaints.watch(async () => {
      const curves = await Promise.all(
        channels.map((channel) => this.#service.lotCurve(this.#lot, channel, ends)),
      );
      if (turn === this.#turn) this.#fetched.value = { span: wide, curves };
    });
    if (turn === this.#turn) this.loading.value = false;
  }
}
