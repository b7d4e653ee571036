import type { Keep } from "./preferences.ts";
import type { RecipeForm } from "./recipe_form.ts";

/** Work that is not kept yet, and the version that it was made out of. */
export interface LeftDraft {
  form: RecipeForm;
  version: number;
}

const KEY = "pourkeep.draft";

/** Where this browser leaves one recipe that is being written, for the next visit. */
export class DraftShelf {
  readonly #keep: Keep;
  readonly #key: string;

  constructor(keep: Keep, name: string) {
    this.#keep = keep;
    this.#key = `${KEY}.${name}`;
  }

  take(): LeftDraft | null {
    const text = this.#keep.getItem(this.#key) ?? "";
    const left: unknown = text === "" ? null : JSON.parse(text);
    return isLeft(left) ? left : null;
  }

  put(left: LeftDraft): void {
    this.#keep.setItem(this.#key, JSON.stringify(left));
  }

  clear(): void {
    this.#keep.setItem(this.#key, "");
  }
}

/** Whether it has the shape that this version of the page leaves. */
function isLeft(value: unknown): value is LeftDraft {
  if (typeof value !== "object" || value === null) return false;
  if (!("form" in value) || !("version" in value) || typeof value.version !== "number") return false;
  const { form } = value;
  if (typeof form !== "object" || form === null || !("fields" in form)) return false;
  if (!("rows" in form) || typeof form.rows !== "object" || form.rows === null) return false;
  const { rows } = form;
  return ["phase", "limit", "alarm"].every((kind) =>
    Object.entries(rows).some(([name, list]) => name === kind && Array.isArray(list)));
}
