import { effect, signal, untracked } from "@preact/signals";
import type { Feed } from "../feed/feed.ts";
import type { Service } from "../feed/service.ts";
import type { CurveData, Instrument, Reading } from "../types.ts";
import { Curve } from "./curve.ts";

export const SPAN_MINUTES = 60;
/** Readings that came too many at once to be told are fetched this often at most. */
const MEND_MS = 5_000;

/** The curves of one bench as the service keeps them: the last hour of each of its channels. */
export class BenchCurvesModel {
  readonly curves = signal<readonly Curve[]>([]);
  readonly #bench: string;
  readonly #service: Service;
  readonly #leave: () => void;
  #mending: ReturnType<typeof setTimeout> | null = null;
  #closed = false;

  constructor(bench: string, feed: Feed, service: Service) {
    this.#bench = bench;
    this.#service = service;
    const leaveReadings = feed.on("reading", (reading) => this.#take(reading));
    const leaveStatus = effect(() => {
      if (feed.status.value !== "live") untracked(() => this.#breakOff());
    });
    this.#leave = () => {
      leaveReadings();
      leaveStatus();
    };
  }

  /** Fetches what is missing of the last hour of these instruments. */
  async load(instruments: readonly Instrument[]): Promise<void> {
    const held = new Map(this.curves.value.map((curve) => [curve.channel, curve]));
    const curves = instruments.map(
      ({ name }) => held.get(name) ?? new Curve(name, SPAN_MINUTES * 60),
    );
    const same = curves.length === held.size && curves.every((curve) => held.has(curve.channel));
    if (!same) this.curves.value = curves;
    await this.#mend().catch((error: unknown) => {
      this.#mendSoon();
      throw error;
    });
  }

  close(): void {
    this.#closed = true;
    this.#leave();
    if (this.#mending !== null) clearTimeout(this.#mending);
  }

  #take(reading: Reading): void {
    const curve = this.curves.value.find((each) => each.channel === reading.channel);
    if (curve === undefined) return;
    if (reading.skipped > 0) {
      curve.breakOff();
      this.#mendSoon();
    }
    if (reading.quality !== "bad") curve.push(reading.t, reading.value);
  }

  #breakOff(): void {
    for (const curve of this.curves.value) curve.breakOff();
  }

  #mendSoon(): void {
    if (this.#closed) return;
    this.#mending ??= setTimeout(() => {
      this.#mending = null;
      // One that fails is no news: the next gap asks again, or the next connection.
      this.#mend().catch(() => this.#mendSoon());
    }, MEND_MS);
  }

  async #mend(): Promise<void> {
    const broken = this.curves.value.filter((curve) => !curve.isSound);
    await Promise.all(broken.map((curve) => this.#fetch(curve)));
  }

  async #fetch(curve: Curve): Promise<void> {
    const seam = curve.seam();
    if (curve.mend(seam, await this.#piece(curve, seam.from))) return;
    curve.mend(curve.restart(), await this.#piece(curve, null));
  }

  #piece(curve: Curve, since: number | null): Promise<CurveData> {
    return this.#service.benchCurve(this.#bench, curve.channel, SPAN_MINUTES, since);
  }
}
