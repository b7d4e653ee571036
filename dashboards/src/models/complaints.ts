import { signal } from "@preact/signals";
import { Refusal, UNREACHABLE } from "../feed/refusal.ts";

/** What the service last refused, until it is dismissed or something else is asked for. */
export class Complaints {
  readonly latest = signal<Refusal | null>(null);
  /** Whether a person asked for it: then she is told, also where the line is known to be down. */
  readonly wasAsked = signal(false);

  /** Does what a person asked for: what was refused before no longer matters. */
  act(job: () => Promise<void>): Promise<void> {
    this.latest.value = null;
    return this.#run(job, true);
  }

  /** Runs `job`; a refusal is shown, anything else is a defect and goes on up. */
  watch(job: () => Promise<void>): Promise<void> {
    return this.#run(job, false);
  }

  async #run(job: () => Promise<void>, asked: boolean): Promise<void> {
    try {
      await job();
      if (this.latest.value?.status === UNREACHABLE) this.latest.value = null;
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      const known = this.latest.value !== null && this.wasAsked.value;
      if (!asked && known && error.status === UNREACHABLE) return; // it says no more than that
      this.latest.value = error;
      this.wasAsked.value = asked;
    }
  }
}
