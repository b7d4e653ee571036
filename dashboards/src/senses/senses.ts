import type { ReadonlySignal } from "@preact/signals";
import type { Priority } from "../types.ts";

/** What this browser can do to reach a person who does not look at it. */
export interface Senses {
  /** A chime would be heard now; browsers are mute until somebody has touched the page. */
  readonly audible: ReadonlySignal<boolean>;
  /** The browser keeps the screen from going dark at present. */
  readonly lit: ReadonlySignal<boolean>;
  readonly canSpeak: boolean;
  readonly canBuzz: boolean;
  readonly canStayLit: boolean;
  /** Makes chimes audible; works only inside the handler of a press. */
  wake(): Promise<void>;
  chime(priority: Priority): void;
  /** Says a text aloud in place of what is being said. */
  speak(text: string): void;
  hush(): void;
  buzz(priority: Priority): void;
  /** Asks for the screen to stay on, or lets it go dark again. */
  stayLit(wanted: boolean): void;
}
