import { signal } from "@preact/signals";
import type { Service } from "../feed/service.ts";
import type { Exports } from "../types.ts";
import type { Complaints } from "./complaints.ts";

/** Something on the page that can draw itself as a file. */
export interface Drawn {
  picture(headings: string[]): Promise<Blob | null>;
}

/** Puts a file where the browser's owner keeps downloads. */
export type Save = (file: Blob, name: string) => void;

/** How far the picture has come; `failed` where there was nothing to draw. */
export type PictureState = "none" | "drawing" | "saved" | "failed";

/** The files that a lot can be taken away as. */
export class ExportModel {
  readonly id: string;
  /** What there is, null until the service has said so. */
  readonly offer = signal<Exports | null>(null);
  /** The file that was last asked for; the browser saves it by itself. */
  readonly asked = signal<string | null>(null);
  readonly picture = signal<PictureState>("none");
  readonly #service: Service;
  readonly #complaints: Complaints;
  #chart: Drawn | null = null;

  constructor(id: string, service: Service, complaints: Complaints) {
    this.id = id;
    this.#service = service;
    this.#complaints = complaints;
  }

  load(): Promise<void> {
    return this.#complaints.watch(async () => {
      this.offer.value = await this.#service.exports(this.id);
    });
  }

  /** Takes note of the chart that a picture is to be made of. */
  readonly mounted = (chart: Drawn | null): void => {
    this.#chart = chart;
  };

  /** A file was asked for: says its name, and nothing of the picture before it. */
  ask(file: string): void {
    this.asked.value = file;
    this.picture.value = "none";
  }

  /** Saves the chart as a picture; one at a time. */
  async savePicture(headings: string[], save: Save): Promise<void> {
    if (this.picture.value === "drawing") return;
    this.asked.value = null;
    this.picture.value = "drawing";
    let state: PictureState = "failed";
    try {
      const file = await this.#chart?.picture(headings) ?? null;
      if (file !== null) {
        save(file, this.pictureName);
        state = "saved";
      }
    } finally {
      this.picture.value = state;
    }
  }

  /** What the picture is called. */
  get pictureName(): string {
    return `lot-${this.id.replace(/[^A-Za-z0-9_-]/g, "_")}.png`;
  }
}
