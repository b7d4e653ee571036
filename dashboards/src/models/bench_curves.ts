import { signal } from "@preact/signals";
import type { Feed, Unsubscribe } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { Instrument } from "../types.ts";
import { Curve } from "./curve.ts";

export const SPAN_MINUTES = 60;
const STEP_S = 1;
/** Seconds of life without a reading that make a gap in the line. */
const GAP_S = 10;

/** The live curves of one bench: the last hour of each of its channels. */
export class BenchCurvesModel {
  readonly curves = signal<readonly Curve[]>([]);
  readonly #bench: string;
  readonly #service: Service;
  readonly #speed: number;
  readonly #leave: Unsubscribe;

  constructor(bench: string, speed: number, feed: Feed, service: Service) {
    this.#bench = bench;
    this.#service = service;
    this.#speed = Math.max(1, speed);
    this.#leave = feed.on("reading", (reading) => {
      if (reading.quality === "bad") return;
      const curve = this.curves.value.find((each) => each.channel === reading.channel);
      curve?.push(Date.parse(reading.taken_at) / 1000, reading.value);
    });
  }

  /** Fetches the last hour of these instruments. */
  async load(instruments: readonly Instrument[]): Promise<void> {
    const curves = instruments.map(({ name }) => this.#curve(name));
    this.curves.value = curves;
    await Promise.all(curves.map(async (curve) => {
      curve.load(await this.#service.benchCurve(this.#bench, curve.channel, SPAN_MINUTES));
    }));
  }

  close(): void {
    this.#leave();
  }

  #curve(channel: string): Curve {
    return new Curve(channel, SPAN_MINUTES * 60, STEP_S, GAP_S * this.#speed);
  }
}
