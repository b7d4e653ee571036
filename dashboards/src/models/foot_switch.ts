import { signal } from "@preact/signals";
import type { Keep } from "./preferences.ts";

const KEY = "pourkeep.foot-switch";
/** Keys that lead elsewhere on a page: a person without a mouse needs them. */
const TAKEN: ReadonlySet<string> = new Set([
  "Tab", "Escape", "Shift", "Control", "Alt", "Meta", "CapsLock", "a", "A", "u", "U",
]);

/** The key that a foot switch types: such a switch passes for a keyboard with one key. */
export class FootSwitch {
  readonly key = signal<string | null>(null);
  /** The next key is the switch's. */
  readonly learning = signal(false);
  readonly #keep: Keep;

  constructor(keep: Keep) {
    this.#keep = keep;
    this.key.value = keep.getItem(KEY) || null;
  }

  /** Takes a key as the switch's; false where the page needs that key itself. */
  learn(key: string): boolean {
    if (TAKEN.has(key)) return false;
    this.#set(key);
    this.learning.value = false;
    return true;
  }

  forget(): void {
    this.#set(null);
  }

  #set(key: string | null): void {
    this.key.value = key;
    this.#keep.setItem(KEY, key ?? "");
  }
}
