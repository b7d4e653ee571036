import { signal } from "@preact/signals";
import type { Signal } from "@preact/signals";
import type { Keep } from "./preferences.ts";

/** Words that are not sent yet: they outlive a reload of the page. */
export class Draft {
  readonly text: Signal<string>;
  readonly #keep: Keep;
  readonly #key: string;

  constructor(keep: Keep, key: string) {
    this.#keep = keep;
    this.#key = `pourkeep.draft.${key}`;
    this.text = signal(keep.getItem(this.#key) ?? "");
  }

  write(text: string): void {
    this.text.value = text;
    if (text === "") this.#keep.removeItem(this.#key);
    else this.#keep.setItem(this.#key, text);
  }

  /** Takes it that so much was sent; what was written meanwhile stays. */
  sent(text: string): void {
    if (this.text.value === text) this.write("");
  }
}
