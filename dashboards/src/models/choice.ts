import { effect, signal } from "@preact/signals";
import type { Signal } from "@preact/signals";
import type { Keep } from "./preferences.ts";

/** A yes or no of the person at this browser, kept there. */
export class Choice {
  readonly on: Signal<boolean>;

  constructor(name: string, usual: boolean, keep: Keep) {
    const key = `pourkeep.${name}`;
    const kept = keep.getItem(key);
    this.on = signal(kept === null ? usual : kept === "yes");
    effect(() => {
      if (this.on.value !== usual || keep.getItem(key) !== null) {
        keep.setItem(key, this.on.value ? "yes" : "no");
      }
    });
  }
}
