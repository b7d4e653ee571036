import { signal } from "@preact/signals";
import { Refusal } from "../feed/refusal.ts";
import type { Service } from "../feed/service.ts";
import type { Complaints } from "./complaints.ts";
import { Draft } from "./draft.ts";
import type { Keep } from "./preferences.ts";

/** Writing about one lot. */
export class NotesModel {
  readonly lot: string;
  readonly draft: Draft;
  readonly busy = signal(false);
  /** Why the note is not kept yet. It stands here: the banner's goes as soon as anything works. */
  readonly failed = signal<Refusal | null>(null);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #reload: () => Promise<void>;

  constructor(
    lot: string, service: Service, complaints: Complaints, keep: Keep, reload: () => Promise<void>,
  ) {
    this.lot = lot;
    this.draft = new Draft(keep, `note.${lot}`);
    this.#service = service;
    this.#complaints = complaints;
    this.#reload = reload;
  }

  /** Sends what is written; where that fails it stays, with the reason in `failed`. */
  async send(): Promise<void> {
    const text = this.draft.text.value;
    if (this.busy.value || text.trim() === "") return;
    this.busy.value = true;
    this.failed.value = null;
    try {
      await this.#service.writeNote(this.lot, text.trim());
      this.draft.sent(text);
      await this.#reload();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      this.failed.value = error;
    } finally {
      this.busy.value = false;
    }
  }

  takeBack(note: string, reason: string): Promise<void> {
    return this.#complaints.act(async () => {
      await this.#service.removeNote(this.lot, note, reason);
      await this.#reload();
    });
  }
}
