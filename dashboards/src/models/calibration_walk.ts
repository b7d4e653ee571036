import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { Refusal } from "../feed/refusal.ts";
import type { FitShown, InstrumentInFull, PointGiven } from "../types.ts";
import {
  before, measured, newDraft, next, toolOf, withPoint, withSource,
} from "./calibration_draft.ts";
import type { Boiling, Draft, DraftPoint, Source, Step } from "./calibration_draft.ts";
import { draftFrom } from "./kept_draft.ts";
import { ShownValuesModel } from "./shown_values.ts";
import { STEADY_S, USUAL_STEP, steadiness } from "./steadiness.ts";
import type { Steadiness } from "./steadiness.ts";
import { typedNumber } from "./typed_value.ts";
import type { WorkshopModel } from "./workshop.ts";

const KEY = "pourkeep.calibration.";

/** What a browser tab remembers until it is closed. */
export type TabKeep = Pick<Storage, "getItem" | "setItem" | "removeItem">;

/** Words for the journal: what a point was. */
export type NameOf = (source: Source) => string;

/**
 * One calibration, step by step: choose points, take each, look at what comes of it, keep it.
 * What was done is remembered by the tab, so that a reload loses nothing.
 */
export class CalibrationWalkModel {
  readonly draft = signal<Draft | null>(null);
  /** What the points come to, null until the service has said so. */
  readonly fit = signal<FitShown | null>(null);
  /** Why the points cannot be used, in the service's words. */
  readonly refused = signal<string | null>(null);
  readonly busy = signal(false);
  /** Whether the last one was kept, to say so. */
  readonly kept = signal(false);
  readonly steadiness: ReadonlySignal<Steadiness>;
  readonly shown: ShownValuesModel;
  /** The smallest step of the display, null while that cannot be told. */
  readonly resolution = signal<number | null>(null);
  readonly #workshop: WorkshopModel;
  readonly #instrument: InstrumentInFull;
  readonly #keep: TabKeep;
  readonly #nameOf: NameOf;

  constructor(
    workshop: WorkshopModel, instrument: InstrumentInFull, keep: TabKeep, nameOf: NameOf,
  ) {
    this.#workshop = workshop;
    this.#instrument = instrument;
    this.#keep = keep;
    this.#nameOf = nameOf;
    this.shown = new ShownValuesModel(instrument.name, workshop.outside.feed);
    const needS = STEADY_S[toolOf(instrument.role)];
    this.resolution.value = instrument.resolution;
    this.steadiness = computed(() =>
      steadiness(this.shown.values.value, this.resolution.value ?? USUAL_STEP, needS));
    this.draft.value = draftFrom(keep.getItem(KEY + instrument.name), instrument.role);
    if (this.draft.value?.step.at === "result") void this.#preview();
  }

  close(): void {
    this.shown.close();
  }

  begin(): void {
    this.kept.value = false;
    this.#write(newDraft(this.#instrument.role));
  }

  /** Lets go of all of it; nothing has been kept. */
  discard(): void {
    this.draft.value = null;
    this.fit.value = this.refused.value = null;
    this.#keep.removeItem(KEY + this.#instrument.name);
  }

  choose(source: Source, wanted: boolean): void {
    this.#change((draft) => withSource(draft, source, wanted));
  }

  boil(boiling: Boiling): void {
    this.refused.value = null;
    this.#change((draft) => ({ ...draft, boiling }));
  }

  note(note: string): void {
    this.#change((draft) => ({ ...draft, note }));
  }

  /** Whether something is chosen that can be gone on with. */
  canGoOn(): boolean {
    const draft = this.draft.value;
    if (draft === null || draft.points.length === 0 || this.busy.value) return false;
    const boils = draft.points.some(({ source }) => source === "boiling");
    return !boils || typedNumber(draft.boiling.text) !== null;
  }

  /** Goes on from the choice; asks first at what temperature water boils there. */
  goOn(): Promise<void> {
    return this.#once(async () => {
      await this.#boilingPoint();
      this.#go(next);
    });
  }

  back(): void {
    this.fit.value = this.refused.value = null;
    this.#go((draft) => before(draft) ?? draft.step);
  }

  /** Takes a value for the present point, with its reference where it was typed, and goes on. */
  take(shown: number, reference: number | null): Promise<void> {
    const step = this.draft.value?.step;
    if (step?.at !== "point") return Promise.resolve();
    const change: Partial<DraftPoint> = reference === null ? { shown } : { shown, reference };
    this.#change((draft) => withPoint(draft, step.index, change));
    this.#go(next);
    return this.draft.value?.step.at === "result" ? this.#preview() : Promise.resolve();
  }

  /** Keeps the calibration: it holds from now on. */
  keep(): Promise<void> {
    const points = this.#points();
    const note = this.draft.value?.note.trim() ?? "";
    if (points === null) return Promise.resolve();
    return this.#once(async () => {
      await this.#workshop.outside.service.calibrate(this.#instrument.name, points, note);
      this.kept.value = true;
      this.discard();
    });
  }

  async #boilingPoint(): Promise<void> {
    const draft = this.draft.value;
    const index = draft?.points.findIndex(({ source }) => source === "boiling") ?? -1;
    const number = typedNumber(draft?.boiling.text ?? "");
    if (draft === null || index < 0 || number === null) return;
    const { service } = this.#workshop.outside;
    const { temperature } = await service.boilingWater(draft.boiling.by, number);
    this.#change((changed) => withPoint(changed, index, { reference: temperature }));
  }

  #preview(): Promise<void> {
    const points = this.#points();
    if (points === null) {
      this.#go(() => ({ at: "choose" }));
      return Promise.resolve();
    }
    return this.#once(async () => {
      const { service } = this.#workshop.outside;
      this.fit.value = await service.previewCalibration(this.#instrument.name, points);
    });
  }

  #points(): PointGiven[] | null {
    const draft = this.draft.value;
    const points = draft === null ? null : measured(draft);
    return points?.map(({ source, reference, shown }) =>
      ({ reference, shown, of: this.#nameOf(source) })) ?? null;
  }

  #go(to: (draft: Draft) => Step): void {
    this.shown.forget();
    this.#change((draft) => ({ ...draft, step: to(draft) }));
  }

  #change(how: (draft: Draft) => Draft): void {
    if (this.draft.value !== null) this.#write(how(this.draft.value));
  }

  #write(draft: Draft): void {
    this.draft.value = draft;
    this.#keep.setItem(KEY + this.#instrument.name, JSON.stringify(draft));
  }

  /** Asks the service for something; what it refuses is said where she is looking. */
  async #once(job: () => Promise<void>): Promise<void> {
    if (this.busy.value) return;
    this.busy.value = true;
    this.refused.value = null;
    try {
      await job();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      this.refused.value = error.message;
    } finally {
      this.busy.value = false;
    }
  }
}
