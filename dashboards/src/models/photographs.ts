import { signal } from "@preact/signals";
import { Refusal } from "../feed/refusal.ts";
import type { Service } from "../feed/service.ts";
import type { Photograph } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { Draft } from "./draft.ts";
import type { Keep } from "./preferences.ts";

/** Draws a picture anew and smaller; null where the file is none. */
export type Shrink = (file: Blob) => Promise<Blob | null>;

/** Why a picture was not sent: the service said so, or it is none that the browser can read. */
export type Failure = Refusal | "unreadable";

/** A picture on its way: which part of it is sent, from 0 to 1, or why it stays here. */
export interface Parcel {
  key: number;
  name: string;
  file: Blob;
  caption: string;
  part: number;
  failed: Failure | null;
}

/** Photographs of one lot: those on their way, one after another, and taking one back. */
export class PhotographsModel {
  readonly lot: string;
  readonly caption: Draft;
  readonly parcels = signal<readonly Parcel[]>([]);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #shrink: Shrink;
  /** Fetches the lot anew, so that it shows what was kept; the page that is open sets it. */
  reload: () => Promise<void> = async () => {};
  #turn: Promise<void> = Promise.resolve();
  #keys = 0;

  constructor(
    lot: string, service: Service, complaints: Complaints, keep: Keep, shrink: Shrink,
  ) {
    this.lot = lot;
    this.caption = new Draft(keep, `caption.${lot}`);
    this.#service = service;
    this.#complaints = complaints;
    this.#shrink = shrink;
  }

  /** Sends pictures with what is written as their caption. */
  add(files: Iterable<File>): Promise<void> {
    const caption = this.caption.text.value;
    const fresh = [...files].map((file) => ({
      key: this.#keys += 1, name: file.name, file, caption: caption.trim(), part: 0, failed: null,
    }));
    if (fresh.length === 0) return this.#turn;
    this.parcels.value = [...this.parcels.value, ...fresh];
    this.caption.sent(caption);
    for (const { key } of fresh) this.#queue(key);
    return this.#turn;
  }

  again(key: number): Promise<void> {
    this.#change(key, { failed: null, part: 0 });
    this.#queue(key);
    return this.#turn;
  }

  giveUp(key: number): void {
    this.parcels.value = this.parcels.value.filter((parcel) => parcel.key !== key);
  }

  takeBack(photograph: string, reason: string): Promise<void> {
    return this.#complaints.act(async () => {
      await this.#service.removePhotograph(this.lot, photograph, reason);
      await this.reload();
    });
  }

  #queue(key: number): void {
    const send = (): Promise<void> => this.#send(key);
    this.#turn = this.#turn.then(send, send); // a defect with one picture is none of the next
  }

  async #send(key: number): Promise<void> {
    const parcel = this.parcels.value.find((one) => one.key === key);
    if (parcel === undefined) return;
    try {
      await this.#pass(parcel);
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      this.#change(key, { failed: error });
    }
  }

  async #pass({ key, file, caption }: Parcel): Promise<void> {
    const picture = await this.#shrink(file);
    if (picture === null) {
      this.#change(key, { failed: "unreadable" });
      if (this.caption.text.value === "") this.caption.write(caption); // it was meant for a picture
      return;
    }
    const progress = (part: number): void => this.#change(key, { part });
    await this.#service.sendPhotograph(this.lot, picture, caption, progress);
    await this.reload();
    this.giveUp(key);
  }

  #change(key: number, change: Partial<Parcel>): void {
    this.parcels.value = this.parcels.value.map(
      (parcel) => parcel.key === key ? { ...parcel, ...change } : parcel,
    );
  }
}

/** The photographs whose bytes are there. */
export function standing(photographs: readonly Photograph[]): Photograph[] {
  return photographs.filter(({ removed }) => removed === null);
}

/** The photograph so many places on, round from the last to the first; null where there is none. */
export function neighbor(
  photographs: readonly Photograph[], id: string, step: number,
): Photograph | null {
  const place = photographs.findIndex((one) => one.id === id);
  if (place < 0) return null;
  return photographs[(place + step + photographs.length) % photographs.length] ?? null;
}
