import { computed, signal } from "@preact/signals";
import type { PhotographsModel } from "./photographs.ts";

/** The photographs of every lot whose page was opened: leaving the page does not stop them. */
export class PhotographTray {
  readonly #byLot = signal<ReadonlyMap<string, PhotographsModel>>(new Map());
  /** Whether a picture would be lost if the window were closed now. */
  readonly underWay = computed(
    () => [...this.#byLot.value.values()].some(({ parcels }) => parcels.value.length > 0),
  );

  /** Those of one lot, made where there are none yet; `reload` fetches the lot that is shown. */
  of(
    lot: string, reload: () => Promise<void>, make: (lot: string) => PhotographsModel,
  ): PhotographsModel {
    const known = this.#byLot.peek().get(lot);
    const found = known ?? make(lot);
    found.reload = reload;
    if (known === undefined) this.#byLot.value = new Map(this.#byLot.peek()).set(lot, found);
    return found;
  }
}
