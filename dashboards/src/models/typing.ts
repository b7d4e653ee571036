import { signal } from "@preact/signals";
import { isSuspicious, typedNumber } from "./typed_value.ts";
import type { TypedUnit } from "./typed_value.ts";

/** What is to be said of what was typed; `shown` is the value as the person wrote it. */
export type Said =
  | { kind: "no number" }
  | { kind: "sure"; shown: string; unit: TypedUnit }
  | { kind: "kept"; shown: string; unit: TypedUnit; corrected: string | null };

/** A value that the service keeps; `corrected` is what a calibration made of it, in words. */
export interface Kept {
  corrected: string | null;
}

/** Digits of the longest value that makes sense, with its sign and its point. */
const LONGEST = 9;

/** A value being typed; a suspicious one is kept at the second press. */
export class TypingModel {
  readonly text = signal("");
  readonly said = signal<Said | null>(null);
  readonly #keep: (value: number, unit: TypedUnit) => Promise<Kept | null>;
  #asked: string | null = null;
  #busy = false;

  /** `keep` hands the value to the service; null where that did not work. */
  constructor(keep: (value: number, unit: TypedUnit) => Promise<Kept | null>) {
    this.#keep = keep;
  }

  type(text: string): void {
    this.text.value = text;
    this.said.value = null;
    this.#asked = null;
  }

  /** Adds a digit or a point; a second point is no part of a number. */
  press(key: string): void {
    const { value } = this.text;
    if (value.length >= LONGEST || (key === "." && /[.,]/.test(value))) return;
    this.type(value + key);
  }

  /** Takes the last character back. */
  back(): void {
    this.type(this.text.value.slice(0, -1));
  }

  async submit(unit: TypedUnit): Promise<void> {
    const shown = this.text.value.trim();
    const value = typedNumber(shown);
    if (value === null) {
      this.said.value = { kind: "no number" };
      return;
    }
    const question = `${value} ${unit}`;
    if (isSuspicious(value, unit) && this.#asked !== question) {
      this.#asked = question;
      this.said.value = { kind: "sure", shown, unit };
      return;
    }
    if (this.#busy) return; // a second press must not keep it twice
    this.#busy = true;
    const kept = await this.#keep(value, unit).finally(() => this.#busy = false);
    if (kept === null) return; // what was typed stays for another try
    if (this.text.value.trim() !== shown) return; // the next one has been begun
    this.type("");
    this.said.value = { kind: "kept", shown, unit, ...kept };
  }
}
