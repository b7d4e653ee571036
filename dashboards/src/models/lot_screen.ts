import { computed, effect } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { ChartLine } from "../chart.ts";
import { BesideModel } from "./beside.ts";
import { CurveView } from "./curve_view.ts";
import { FineCurves } from "./fine_curves.ts";
import { LotModel } from "./lot.ts";
import { readAddress, writeAddress } from "./lot_address.ts";
import { ExportModel } from "./lot_export.ts";
import { inSight, lotPictures } from "./lot_pictures.ts";
import type { LotPictures } from "./lot_pictures.ts";
import { rangeOf } from "./pictures.ts";
import { sayIn } from "./say.ts";
import type { Say } from "./say.ts";
import { lengthOf } from "./time_span.ts";
import type { TimeSpan } from "./time_span.ts";
import type { WorkshopModel } from "./workshop.ts";
import type { Lot } from "../types.ts";

/** An open lot's chart is this long at least; seconds. */
const SHORTEST_S = 60;
/** From here on the chart leaves out what is far from all that is in sight. */
const CLOSE = 0.5;

/** Everything that the page of a lot shows, and what of it is looked at. */
export class LotScreen {
  readonly workshop: WorkshopModel;
  readonly record: LotModel;
  readonly view: CurveView;
  readonly fine: FineCurves;
  readonly beside: BesideModel;
  /** The lot as files. */
  readonly files: ExportModel;
  readonly say: ReadonlySignal<Say>;
  /** Both charts over the whole lot; null until the lot came. */
  readonly #whole: ReadonlySignal<LotPictures | null>;
  /** Every line there is, also those that are switched off. */
  readonly lines: ReadonlySignal<readonly ChartLine[]>;
  /** Both charts as they are looked at. */
  readonly pictures: ReadonlySignal<LotPictures | null>;

  /** `query` is that of the address which led here. */
  constructor(workshop: WorkshopModel, id: string, query: string) {
    const { feed, service } = workshop.outside;
    const { span, beside } = readAddress(query);
    this.workshop = workshop;
    this.record = new LotModel(id, feed, service, workshop.complaints);
    this.view = new CurveView(span);
    this.fine = new FineCurves(id, service, workshop.complaints);
    this.beside = new BesideModel(id, beside, service, workshop.complaints);
    this.files = new ExportModel(id, service, workshop.complaints);
    this.say = computed(() => sayIn(workshop.preferences.display.value, workshop.wall.value));
    this.#whole = computed(() => this.#lotPictures());
    this.lines = computed(() => {
      const { warm, heavy } = this.#whole.value ?? { warm: null, heavy: null };
      return [...warm?.lines ?? [], ...heavy?.lines ?? []];
    });
    this.pictures = computed(() => this.#inSight());
  }

  /** Follows the lot's span and the part that is looked at; returns how to stop. */
  start(): () => void {
    const leaveWhole = effect(() => {
      const lot = this.record.lot.value;
      if (lot !== null) this.view.whole.value = wholeOf(lot, this.record.curves.value);
    });
    const leaveFine = effect(() => {
      const channels = this.record.lot.value?.channels ?? [];
      const span = this.view.span.value === null ? null : this.view.shown.value;
      if (channels.length > 0) this.fine.want(span, channels.map(({ channel }) => channel));
    });
    return () => {
      leaveWhole();
      leaveFine();
      this.fine.close();
      this.record.close();
    };
  }

  /** The query that leads back to what is looked at now. */
  address(query: string): string {
    if (this.record.lot.value === null) return query; // nothing is looked at yet
    const span = this.view.span.value === null ? null : this.view.shown.value;
    return writeAddress({ span, beside: this.beside.chosen.value }, query);
  }

  #lotPictures(): LotPictures | null {
    const lot = this.record.lot.value;
    if (lot === null) return null;
    const curves = this.fine.best(this.view.shown.value, this.record.curves.value);
    const material = {
      lot, curves, beside: this.beside.shown, goodLots: this.record.goodLots.value,
    };
    const display = this.workshop.preferences.display.value;
    return lotPictures(material, this.view.whole.value, display);
  }

  #inSight(): LotPictures | null {
    const pictures = this.#whole.value;
    if (pictures === null) return null;
    const shown = this.view.shown.value;
    const hidden = this.view.hidden.value;
    const close = lengthOf(shown) < lengthOf(this.view.whole.value) * CLOSE;
    return {
      warm: inSight(pictures.warm, shown, hidden, close),
      heavy: inSight(pictures.heavy, shown, hidden, close),
    };
  }
}

/** The time of a lot with room at both ends: to its closing, or to the last that was collected. */
function wholeOf(lot: Lot, curves: readonly { t: readonly number[] }[]): TimeSpan {
  const from = Date.parse(lot.opened_at) / 1000;
  if (lot.closed_at !== null) return rangeOf(from, Date.parse(lot.closed_at) / 1000);
  return rangeOf(from, Math.max(from + SHORTEST_S, ...curves.map(({ t }) => t.at(-1) ?? 0)));
}
