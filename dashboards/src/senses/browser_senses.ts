import type { ReadonlySignal } from "@preact/signals";
import type { Priority } from "../types.ts";
import { Chime } from "./chime.ts";
import { ScreenLight } from "./screen_light.ts";
import type { Senses } from "./senses.ts";

/** Milliseconds of buzzing and of rest between, in turn. */
const BUZZES: Record<Priority, number[]> = {
  high: [400, 150, 400, 150, 400], medium: [300, 200, 300], low: [150],
};

/** The senses of the browser that shows the page. */
export class BrowserSenses implements Senses {
  readonly canSpeak = "speechSynthesis" in window;
  readonly canBuzz = "vibrate" in navigator;
  readonly canStayLit: boolean;
  readonly audible: ReadonlySignal<boolean>;
  readonly lit: ReadonlySignal<boolean>;
  readonly #chime = new Chime();
  readonly #light = new ScreenLight();

  constructor() {
    this.audible = this.#chime.audible;
    this.lit = this.#light.lit;
    this.canStayLit = this.#light.possible;
  }

  wake(): Promise<void> {
    return this.#chime.wake();
  }

  chime(priority: Priority): void {
    this.#chime.play(priority);
  }

  speak(text: string): void {
    if (!this.canSpeak) return;
    speechSynthesis.cancel();
    const said = new SpeechSynthesisUtterance(text);
    said.lang = document.documentElement.lang;
    speechSynthesis.speak(said);
  }

  hush(): void {
    if (this.canSpeak) speechSynthesis.cancel();
  }

  buzz(priority: Priority): void {
    if (this.canBuzz) navigator.vibrate(BUZZES[priority]);
  }

  stayLit(wanted: boolean): void {
    this.#light.want(wanted);
  }
}
