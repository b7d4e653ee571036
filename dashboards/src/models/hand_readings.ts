import { computed, effect, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { BenchState, Display, Instrument } from "../types.ts";
import { TypingModel } from "./typing.ts";
import type { TypedUnit } from "./typed_value.ts";
import type { WorkshopModel } from "./workshop.ts";

/** The readings of a bench that a person types in, for want of a lead. */
export class HandReadings {
  /** The instruments of the bench that are typed in. */
  readonly instruments: ReadonlySignal<Instrument[]>;
  /** The one that is typed for now: what was chosen, else what the present step needs. */
  readonly instrument: ReadonlySignal<Instrument | null>;
  readonly typing: TypingModel;
  readonly #workshop: WorkshopModel;
  readonly #chosen = signal<string | null>(null);

  constructor(workshop: WorkshopModel, bench: string, state: ReadonlySignal<BenchState | null>) {
    this.#workshop = workshop;
    this.instruments = computed(
      () => workshop.instruments.at(bench).filter(({ kind }) => kind === "manual"),
    );
    this.instrument = computed(() => {
      const wanted = [this.#chosen.value, ...channelsOf(state.value)];
      const found = wanted.map((name) =>
        this.instruments.value.find((instrument) => instrument.name === name));
      return found.find((instrument) => instrument !== undefined)
        ?? this.instruments.value[0] ?? null;
    });
    this.typing = new TypingModel((value, unit) => this.#keep(value, unit));
    effect(() => { // the next step must not change under the thumb what the digits are for
      if (this.typing.text.value === "") return;
      this.#chosen.value ??= this.instrument.peek()?.name ?? null;
    });
  }

  /** Types for another instrument; what was begun for the last one is dropped. */
  choose(name: string): void {
    const other = name !== this.instrument.value?.name;
    this.#chosen.value = name;
    if (other) this.typing.type("");
  }

  unit(): TypedUnit {
    return unitFor(this.instrument.value, this.#workshop.preferences.display.value);
  }

  async #keep(value: number, unit: TypedUnit): Promise<boolean> {
    const instrument = this.instrument.peek();
    if (instrument === null) return false;
    let kept = false;
    await this.#workshop.complaints.act(async () => {
      await this.#workshop.outside.service.typeReading(instrument.name, value, unit);
      kept = true;
    });
    if (kept) this.#chosen.value = null; // the next step decides again
    return kept;
  }
}

/** The channels that the present step needs, the most needed first. */
function channelsOf(state: BenchState | null): string[] {
  const { scale = null, temperature = null } = state ?? {};
  const weighed = scale !== null && scale.target !== null ? [scale.channel] : [];
  return [...weighed, ...(temperature === null ? [] : [temperature.channel])];
}

function unitFor(instrument: Instrument | null, display: Display): TypedUnit {
  return instrument?.role === "scale" ? display.mass : display.temperature;
}
