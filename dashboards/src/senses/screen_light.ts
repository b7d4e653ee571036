import { signal } from "@preact/signals";

/**
 * Keeps the screen from going dark where the browser may: over HTTPS or on the machine itself.
 * The browser lets go whenever the page is hidden, so it is asked again when it is shown.
 */
export class ScreenLight {
  readonly possible = "wakeLock" in navigator;
  readonly lit = signal(false);
  #wanted = false;
  #lock: WakeLockSentinel | null = null;

  constructor() {
    document.addEventListener("visibilitychange", () => void this.#ask());
  }

  want(wanted: boolean): void {
    if (wanted === this.#wanted) return;
    this.#wanted = wanted;
    if (wanted) void this.#ask();
    else void this.#lock?.release();
  }

  async #ask(): Promise<void> {
    if (!this.possible || !this.#wanted || document.hidden || this.lit.value) return;
    try {
      this.#lock = await navigator.wakeLock.request("screen");
    } catch (error) {
      // Low battery, or the page was hidden meanwhile: `lit` says that it is not, the page shows it.
      if (error instanceof DOMException) return;
      throw error;
    }
    this.lit.value = true;
    this.#lock.addEventListener("release", () => this.lit.value = false);
    if (!this.#wanted) await this.#lock.release();
  }
}
