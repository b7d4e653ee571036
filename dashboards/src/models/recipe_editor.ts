import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { Refusal } from "../feed/refusal.ts";
import type { Service } from "../feed/service.ts";
import type {
  BatchSheet, Recipe, RecipeDocument, RecipePreview, RecipeProblem, VersionOfRecipe,
} from "../types.ts";
import type { Complaints } from "./complaints.ts";
import type { Keep } from "./preferences.ts";
import { documentOf, EMPTY_FORM, fieldOf, formOf, isSame } from "./recipe_form.ts";
import type { RecipeForm, Row, RowKind } from "./recipe_form.ts";
import { changedCells } from "./sheet_changes.ts";
import { DraftShelf } from "./draft_shelf.ts";

const CONFLICT = 409;
const NOT_FOUND = 404;
const FIRST_VESSELS = 12;
/** The sheet follows the typing, but not every key. */
const PAUSE_MS = 250;

/** Somebody else kept a version in the meantime. */
export interface Overtaken {
  sentence: string;
  /** What stands now. */
  theirs: Recipe;
}

/** What the editor is opened with; `name` is null for a new recipe. */
export interface Beginning {
  name: string | null;
  document: RecipeDocument;
  /** What its unkept work is found under at the next visit. */
  shelf: string;
}

/** One recipe being written: what is typed, what the service says of it, and what stands. */
export class RecipeEditorModel {
  readonly name: string | null;
  readonly form = signal<RecipeForm>(EMPTY_FORM);
  readonly vessels = signal(FIRST_VESSELS);
  readonly kept = signal<Recipe | null>(null);
  readonly versions = signal<VersionOfRecipe[]>([]);
  readonly preview = signal<RecipePreview | null>(null);
  /** The latest sheet that could be computed; it stays while a field is half typed. */
  readonly sheet = signal<BatchSheet | null>(null);
  readonly changed = signal<ReadonlySet<string>>(new Set());
  readonly overtaken = signal<Overtaken | null>(null);
  /** Work of an earlier visit that was not kept is in the form. */
  readonly restored = signal(false);
  readonly missing = signal(false);
  readonly busy = signal(false);
  /** She asked to keep it: what is missing is said from now on. */
  readonly attempted = signal(false);
  readonly dirty: ReadonlySignal<boolean>;
  readonly problems: ReadonlySignal<ReadonlyMap<string, RecipeProblem>>;
  readonly #base = signal<RecipeForm>(EMPTY_FORM);
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #shelf: DraftShelf;
  /** The version that the form was made out of; 0 is none. */
  #version = 0;
  #turn = 0;
  #pause: ReturnType<typeof setTimeout> | null = null;

  constructor(
    beginning: Beginning, service: Service, complaints: Complaints, keep: Keep,
  ) {
    this.name = beginning.name;
    this.#service = service;
    this.#complaints = complaints;
    this.#shelf = new DraftShelf(keep, beginning.shelf);
    this.dirty = computed(() => !isSame(this.form.value, this.#base.value));
    this.problems = computed(() => new Map(
      (this.preview.value?.problems ?? []).map((each) => [fieldOf(each, this.form.value), each]),
    ));
    if (beginning.name === null) this.#begin(formOf(beginning.document), 0);
  }

  /** Fetches what stands, and what it was before. */
  load(): Promise<void> {
    const { name } = this;
    return this.#complaints.watch(async () => {
      if (name !== null) await this.#fetch(name);
      await this.look();
    });
  }

  async #fetch(name: string): Promise<void> {
    try {
      const first = this.kept.value === null;
      const recipe = await this.#service.recipe(name);
      this.versions.value = await this.#service.recipeVersions(name);
      this.kept.value = recipe;
      if (first) this.#begin(formOf(recipe.recipe), recipe.version);
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== NOT_FOUND) throw error;
      this.missing.value = true;
    }
  }

  /** Puts what stands into the form, or what was left on the shelf. */
  #begin(base: RecipeForm, version: number): void {
    const left = this.#shelf.take();
    this.#base.value = base;
    this.restored.value = left !== null && !isSame(left.form, base);
    this.form.value = left !== null && this.restored.value ? left.form : base;
    this.#version = left !== null && this.restored.value ? left.version : version;
  }

  // ---------------------------------------------------------------- typing

  write(key: string, text: string): void {
    const { fields, rows } = this.form.value;
    this.#set({ fields: { ...fields, [key]: text }, rows });
  }

  addRow(kind: RowKind): void {
    this.#setRows(kind, [...this.form.value.rows[kind], {}]);
  }

  removeRow(kind: RowKind, place: number): void {
    this.#setRows(kind, this.form.value.rows[kind].filter((_, other) => other !== place));
  }

  writeRow(kind: RowKind, place: number, key: string, text: string): void {
    const changed = (row: Row, other: number): Row =>
      other === place ? { ...row, [key]: text } : row;
    this.#setRows(kind, this.form.value.rows[kind].map(changed));
  }

  /** Puts another version into the form; it stands once it is kept. */
  takeAgain(version: VersionOfRecipe): void {
    this.#set(formOf(version.recipe));
  }

  /** Lets go of what was typed. */
  discard(): void {
    this.overtaken.value = null;
    this.attempted.value = false;
    const kept = this.kept.value; // by now perhaps another one than the form began with
    if (kept !== null) this.#base.value = formOf(kept.recipe);
    this.#version = kept?.version ?? 0;
    this.#set(this.#base.value);
    this.restored.value = false;
  }

  count(vessels: number): void {
    this.vessels.value = vessels;
    void this.look();
  }

  #setRows(kind: RowKind, list: readonly Row[]): void {
    const { fields, rows } = this.form.value;
    this.#set({ fields, rows: { ...rows, [kind]: list } });
  }

  #set(form: RecipeForm): void {
    this.form.value = form;
    if (this.dirty.value) this.#shelf.put({ form, version: this.#version });
    else this.#shelf.clear();
    if (this.#pause !== null) clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.look(), PAUSE_MS);
  }

  // ---------------------------------------------------------------- looking and keeping

  /** Asks the service what it says of the form as it is now. */
  look(): Promise<void> {
    const turn = ++this.#turn;
    const draft = {
      document: documentOf(this.form.value), vessels: this.vessels.value, against: this.name,
    };
    return this.#complaints.watch(async () => {
      const preview = await this.#service.previewRecipe(draft);
      if (turn !== this.#turn) return; // typed on meanwhile
      this.preview.value = preview;
      if (preview.sheet === null) return;
      const changed = changedCells(this.sheet.value, preview.sheet);
      if (changed.size > 0 || this.sheet.value === null) this.changed.value = changed;
      this.sheet.value = preview.sheet;
    });
  }

  /** Whether the recipe gets another name, and with it stands beside the old one. */
  get renamed(): boolean {
    return this.name !== null && this.#nameNow !== this.name;
  }

  get #nameNow(): string {
    return (this.form.value.fields["name"] ?? "").trim();
  }

  /** Keeps the form as the next version; returns its name, null where something is in the way. */
  keep(): Promise<string | null> {
    return this.#keep(this.renamed ? 0 : this.#version);
  }

  /** Keeps the form over what somebody else kept in the meantime. */
  keepOverTheirs(): Promise<string | null> {
    return this.#keep(this.overtaken.value?.theirs.version ?? this.#version);
  }

  /** Takes what somebody else kept, and lets go of what was typed. */
  takeTheirs(): void {
    const theirs = this.overtaken.value?.theirs;
    if (theirs === undefined) return;
    this.kept.value = theirs;
    this.#base.value = formOf(theirs.recipe);
    this.discard();
    void this.load();
  }

  async #keep(replaces: number): Promise<string | null> {
    if (this.busy.value) return null;
    this.busy.value = true;
    let kept: string | null = null;
    await this.#complaints.act(async () => {
      await this.look();
      this.attempted.value = true;
      if (this.problems.value.size === 0) kept = await this.#sendIn(replaces);
    }).finally(() => this.busy.value = false);
    return kept;
  }

  async #sendIn(replaces: number): Promise<string | null> {
    const [name, form] = [this.#nameNow, this.form.value];
    try {
      const { version } = await this.#service.keepRecipe(documentOf(form), replaces);
      this.#stands(form, version);
    } catch (error) {
      if (!(error instanceof Refusal) || error.status !== CONFLICT) throw error;
      this.overtaken.value = {
        sentence: error.message, theirs: await this.#service.recipe(name),
      };
      this.versions.value = await this.#service.recipeVersions(name);
      return null;
    }
    if (name === this.name) {
      await this.#fetch(name);
      await this.look(); // what it would have changed is no change any more
    }
    return name;
  }

  #stands(form: RecipeForm, version: number): void {
    this.#base.value = form;
    this.#version = version;
    this.#shelf.clear();
    this.overtaken.value = null;
    this.restored.value = false;
    this.attempted.value = false;
  }

  /** Puts the recipe away. */
  retire(): Promise<void> {
    const { name } = this;
    if (name === null) return Promise.resolve();
    return this.#complaints.act(async () => {
      await this.#service.retireRecipe(name);
      await this.#fetch(name);
    });
  }

  close(): void {
    if (this.#pause !== null) clearTimeout(this.#pause);
  }
}
