import { signal } from "@preact/signals";
import type { Priority } from "../types.ts";

/** A tone: when it begins after the chime, how long it sounds, seconds, and its pitch in hertz. */
interface Tone {
  at: number;
  lasts: number;
  hertz: number;
}

/**
 * The more pressing, the more tones and the higher; told apart by their number too, since a
 * workshop swallows pitch. Pitches are those of the equal-tempered scale on A at 440 Hz, ISO 16.
 */
const TONES: Record<Priority, readonly Tone[]> = {
  high: [
    { at: 0, lasts: 0.16, hertz: 880 }, { at: 0.2, lasts: 0.16, hertz: 1108.73 },
    { at: 0.4, lasts: 0.16, hertz: 1318.51 }, { at: 0.75, lasts: 0.16, hertz: 880 },
    { at: 0.95, lasts: 0.16, hertz: 1108.73 }, { at: 1.15, lasts: 0.3, hertz: 1318.51 },
  ],
  medium: [
    { at: 0, lasts: 0.25, hertz: 659.26 }, { at: 0.35, lasts: 0.25, hertz: 659.26 },
    { at: 0.7, lasts: 0.35, hertz: 783.99 },
  ],
  low: [{ at: 0, lasts: 0.45, hertz: 523.25 }],
};

const LOUDNESS = 0.5;
/** A tone that begins or ends at once clicks. */
const EDGE_S = 0.015;

/** Chimes by Web Audio; mute until `wake` was called from a press. */
export class Chime {
  readonly audible = signal(false);
  #context: AudioContext | null = null;

  async wake(): Promise<void> {
    const context = this.#context ?? this.#open();
    await context.resume();
    this.#look(context);
  }

  play(priority: Priority): void {
    const context = this.#context;
    if (context === null || context.state !== "running") return;
    for (const tone of TONES[priority]) sound(context, tone);
  }

  #open(): AudioContext {
    const context = new AudioContext();
    context.onstatechange = () => this.#look(context);
    this.#context = context;
    return context;
  }

  #look(context: AudioContext): void {
    this.audible.value = context.state === "running";
  }
}

function sound(context: AudioContext, { at, lasts, hertz }: Tone): void {
  const [begin, end] = [context.currentTime + at, context.currentTime + at + lasts];
  const gain = new GainNode(context, { gain: 0 });
  gain.gain.setValueAtTime(0, begin);
  gain.gain.linearRampToValueAtTime(LOUDNESS, begin + EDGE_S);
  gain.gain.setValueAtTime(LOUDNESS, end - EDGE_S);
  gain.gain.linearRampToValueAtTime(0, end);
  const oscillator = new OscillatorNode(context, { type: "triangle", frequency: hertz });
  oscillator.connect(gain).connect(context.destination);
  oscillator.start(begin);
  oscillator.stop(end);
}
