import { computed, effect, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Display } from "../types.ts";
import { told } from "./told.ts";

/** The part of the browser's storage that is used. */
export type Keep = Pick<Storage, "getItem" | "setItem" | "removeItem">;

const TEMPERATURE_KEY = "pourkeep.temperature";
const MASS_KEY = "pourkeep.mass";

/** The units a person reads best: her own choice, else the workshop's. */
export class PreferencesModel {
  readonly workshop = signal<Display>({ temperature: "degC", mass: "g" });
  readonly temperature = signal<Display["temperature"] | null>(null);
  readonly mass = signal<Display["mass"] | null>(null);
  readonly display: ReadonlySignal<Display>;

  constructor(keep: Keep) {
    const temperature = keep.getItem(TEMPERATURE_KEY);
    const mass = keep.getItem(MASS_KEY);
    if (temperature === "degC" || temperature === "degF") this.temperature.value = temperature;
    if (mass === "g" || mass === "oz") this.mass.value = mass;
    this.display = computed(() => ({
      temperature: this.temperature.value ?? this.workshop.value.temperature,
      mass: this.mass.value ?? this.workshop.value.mass,
    }));
    effect(() => this.#store(keep));
  }

  /** What the service says, in the units that the person reads. */
  told(text: string): string {
    return told(text, this.display.value);
  }

  /** The same for what is said once, and does not change with the units. */
  toldNow(text: string): string {
    return told(text, this.display.peek());
  }

  switchTemperature(): void {
    this.temperature.value = this.display.value.temperature === "degC" ? "degF" : "degC";
  }

  switchMass(): void {
    this.mass.value = this.display.value.mass === "g" ? "oz" : "g";
  }

  #store(keep: Keep): void {
    if (this.temperature.value !== null) keep.setItem(TEMPERATURE_KEY, this.temperature.value);
    if (this.mass.value !== null) keep.setItem(MASS_KEY, this.mass.value);
  }
}
