import { signal } from "@preact/signals";
import type { Priority } from "../types.ts";
import type { Senses } from "./senses.ts";

/** Senses that write down what they were asked for. */
export class FakeSenses implements Senses {
  readonly audible = signal(false);
  readonly lit = signal(false);
  readonly canSpeak = true;
  readonly canBuzz = true;
  readonly canStayLit = true;
  readonly did: string[] = [];

  async wake(): Promise<void> {
    this.audible.value = true;
  }

  chime(priority: Priority): void {
    this.did.push(`chime ${priority}`);
  }

  speak(text: string): void {
    this.did.push(`speak ${text}`);
  }

  hush(): void {
    this.did.push("hush");
  }

  buzz(priority: Priority): void {
    this.did.push(`buzz ${priority}`);
  }

  stayLit(wanted: boolean): void {
    this.lit.value = wanted;
  }
}
