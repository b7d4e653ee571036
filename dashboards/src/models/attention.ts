import { computed, effect, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { FeedStatus } from "../feed/feed.ts";
import { attention as words } from "../words.ts";
import type { Senses } from "../senses/senses.ts";
import type { AlarmsModel } from "./alarms.ts";
import { CallPlan } from "./call_plan.ts";
import type { Ticks } from "./clock.ts";
import { Choice } from "./choice.ts";
import { LineWatch } from "./line_watch.ts";
import type { Keep } from "./preferences.ts";

/** `waiting`: sound is wanted, and the browser stays mute until the page is touched. */
export type Sound = "off" | "waiting" | "on";

const LOOK_MS = 1_000;

/** What a person wants of this screen when she does not look at it. */
export interface Wishes {
  sound: Choice;
  voice: Choice;
  buzz: Choice;
  lit: Choice;
}

/** Calls a person to the alarms that she has not seen: by chime, voice and buzz, as she wishes. */
export class AttentionModel {
  readonly wishes: Wishes;
  readonly sound: ReadonlySignal<Sound>;
  readonly senses: Senses;
  readonly #alarms: AlarmsModel;
  readonly #told: (text: string) => string;
  readonly #ticks: Ticks;
  readonly #plan = new CallPlan();
  readonly #line = new LineWatch();
  readonly #turn = signal(0);

  /** `told` puts the service's words into the units that the person reads. */
  constructor(
    senses: Senses, alarms: AlarmsModel, told: (text: string) => string, ticks: Ticks, keep: Keep,
  ) {
    this.senses = senses;
    this.#alarms = alarms;
    this.#told = told;
    this.#ticks = ticks;
    this.wishes = {
      sound: new Choice("sound", false, keep), voice: new Choice("voice", true, keep),
      buzz: new Choice("buzz", true, keep), lit: new Choice("lit", true, keep),
    };
    this.sound = computed(() => {
      if (!this.wishes.sound.on.value) return "off";
      return senses.audible.value ? "on" : "waiting";
    });
  }

  /** Calls from now on, while `lotsOpen` keeps the screen lit; returns how to stop. */
  start(lotsOpen: ReadonlySignal<boolean>, line: ReadonlySignal<FeedStatus>): () => void {
    const timer = setInterval(() => this.#turn.value += 1, LOOK_MS);
    const stopCalls = effect(() => {
      this.#turn.value; // looked at again each second: a call may be due
      this.#call();
      if (this.#line.calls(line.value, this.#ticks())) this.#deaf();
    });
    const stopLight = effect(() => {
      this.senses.stayLit(this.wishes.lit.on.value && lotsOpen.value);
    });
    return () => {
      clearInterval(timer);
      stopCalls();
      stopLight();
    };
  }

  /** Turns sound on, with a chime to hear; to be called in the handler of a press. */
  async arm(): Promise<void> {
    this.wishes.sound.on.value = true;
    await this.senses.wake();
    this.senses.chime("low");
  }

  disarm(): void {
    this.wishes.sound.on.value = false;
    this.senses.hush();
  }

  /** Says something that is no alarm, where sound is on. */
  say(text: string): void {
    if (this.sound.peek() !== "on") return;
    this.senses.chime("low");
    if (this.wishes.voice.on.peek()) this.senses.speak(text);
  }

  /** After a reload the browser is mute until something is pressed, whatever that is. */
  pressed(): void {
    if (this.sound.value === "waiting") void this.senses.wake();
  }

  /** With no line no alarm comes: a quiet phone on a shelf must not pass for a quiet pour. */
  #deaf(): void {
    if (this.sound.peek() !== "on") return;
    this.senses.chime("medium");
    if (this.wishes.voice.on.peek()) this.senses.speak(words.deaf);
  }

  #call(): void {
    const current = this.#alarms.current.value;
    if (this.sound.value === "waiting") return; // what calls in vain is due as soon as it can
    const [pressing] = this.#plan.due(current, this.#ticks());
    if (pressing === undefined) return;
    if (this.wishes.buzz.on.peek()) this.senses.buzz(pressing.priority);
    if (this.sound.value === "off") return;
    this.senses.chime(pressing.priority);
    if (this.wishes.voice.on.peek()) {
      this.senses.speak(this.#told(`${pressing.message} ${pressing.advice}`));
    }
  }
}
