import { signal } from "@preact/signals";
import { Refusal, UNREACHABLE } from "../feed/refusal.ts";

/** What the service last refused, until it is dismissed or something else is asked for. */
export class Complaints {
  readonly latest = signal<Refusal | null>(null);

  /** Does what a person asked for: what was refused before no longer matters. */
  act(job: () => Promise<void>): Promise<void> {
    this.latest.value = null;
    return this.watch(job);
  }

  /** Runs `job`; a refusal is shown, anything else is a defect and goes on up. */
  async watch(job: () => Promise<void>): Promise<void> {
    try {
      await job();
      if (this.latest.value?.status === UNREACHABLE) this.latest.value = null;
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      this.latest.value = error;
    }
  }
}
