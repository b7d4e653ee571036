import { signal } from "@preact/signals";
import type { PourDayPlan } from "../feed/service.ts";
import type { Display, PourDay } from "../types.ts";
import { mass, text } from "./quantities.ts";

/** A lot of the plan; `key` stays while it is moved about. */
export interface DraftLot {
  key: number;
  recipe: string;
  vessels: number;
  /** The lot that was opened of it: it can no longer be taken out. */
  lot: string | null;
}

const USUAL_VESSELS = 12;

/** A pour day while it is being planned. */
export class PourDayDraft {
  readonly lots = signal<readonly DraftLot[]>([]);
  /** Masses as a person writes them, with their unit; empty where nobody knows. */
  readonly melted = signal("");
  readonly residue = signal("");
  #keys = 0;

  /** Begins with a day that was planned before, its masses in the units that the person reads. */
  static of({ lots, pot }: PourDay, display: Display): PourDayDraft {
    const shown = (grams: number): string => text(mass(grams, display));
    const draft = new PourDayDraft();
    draft.lots.value = lots.map(({ recipe, vessels, lot }) => draft.#lot(recipe, vessels, lot));
    draft.melted.value = pot.melted === null ? "" : shown(pot.melted);
    draft.residue.value = pot.residue === 0 ? "" : shown(pot.residue);
    return draft;
  }

  add(recipe: string): void {
    this.lots.value = [...this.lots.value, this.#lot(recipe, USUAL_VESSELS, null)];
  }

  remove(key: number): void {
    this.lots.value = this.lots.value.filter((lot) => lot.key !== key || lot.lot !== null);
  }

  count(key: number, vessels: number): void {
    this.lots.value = this.lots.value.map((lot) => lot.key === key ? { ...lot, vessels } : lot);
  }

  /** Moves a lot to an earlier (-1) or later (1) place, as far as there is one. */
  move(key: number, by: -1 | 1): void {
    const lots = [...this.lots.value];
    const from = lots.findIndex((lot) => lot.key === key);
    const [moved, other] = [lots[from], lots[from + by]];
    if (moved === undefined || other === undefined) return;
    lots[from] = other;
    lots[from + by] = moved;
    this.lots.value = lots;
  }

  /** What the service is asked to plan; null while there is no lot in it. */
  plan(): PourDayPlan | null {
    const lots = this.lots.value.map(({ recipe, vessels }) => ({ recipe, vessels }));
    if (lots.length === 0) return null;
    const [melted, residue] = [this.melted.value.trim(), this.residue.value.trim()];
    return { lots, melted: melted === "" ? null : melted, residue: residue || "0 g" };
  }

  #lot(recipe: string, vessels: number, lot: string | null): DraftLot {
    this.#keys += 1;
    return { key: this.#keys, recipe, vessels, lot };
  }
}
