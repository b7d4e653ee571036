import { computed, effect, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import type { Service } from "../feed/service.ts";
import { Refusal, UNREACHABLE } from "../feed/refusal.ts";
import type { Display, PourDay, RecipeEntry } from "../types.ts";
import type { Complaints } from "./complaints.ts";
import { PourDayDraft } from "./pour_day_draft.ts";

/** Typing pauses this long before the service is asked to work the plan out. */
const PAUSE_MS = 300;

/** A pour day on its page: as it is kept, and as it is being changed. */
export class PourDayModel {
  /** Null for a new one. */
  readonly id: string | null;
  readonly draft = signal<PourDayDraft | null>(null);
  readonly recipes = signal<RecipeEntry[]>([]);
  /** The draft worked out; the last one that could be. */
  readonly shown = signal<PourDay | null>(null);
  /** Why the draft cannot be worked out as it stands. */
  readonly problem = signal<string | null>(null);
  readonly missing = signal(false);
  readonly busy = signal(false);
  /** The plan as the service has it, as text to compare with; null for a new day. */
  readonly #kept = signal<string | null>(null);
  /** Whether the plan on the page is another than the kept one. */
  readonly dirty: ReadonlySignal<boolean>;
  readonly #service: Service;
  readonly #complaints: Complaints;
  readonly #display: () => Display;
  #asked = 0;

  constructor(
    id: string | null, service: Service, complaints: Complaints, display: () => Display,
  ) {
    this.id = id;
    this.#service = service;
    this.#complaints = complaints;
    this.#display = display;
    this.dirty = computed(() => {
      const plan = this.draft.value?.plan() ?? null;
      return plan !== null && JSON.stringify(plan) !== this.#kept.value;
    });
  }

  load(): Promise<void> {
    return this.#complaints.watch(async () => {
      const days = this.id === null ? [] : await this.#service.pourDays();
      this.recipes.value = await this.#service.recipes();
      const day = days.find(({ id }) => id === this.id) ?? null;
      this.missing.value = this.id !== null && day === null;
      if (this.missing.value) return;
      this.shown.value = day;
      const draft = day === null ? new PourDayDraft() : PourDayDraft.of(day, this.#display());
      this.#kept.value = day === null ? null : JSON.stringify(draft.plan());
      this.draft.value = draft;
    });
  }

  /** Works the draft out whenever it rests; returns how to stop. */
  follow(): () => void {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const stop = effect(() => {
      const plan = this.draft.value?.plan() ?? null;
      clearTimeout(timer);
      if (plan === null) this.shown.value = null;
      else timer = setTimeout(() => void this.#workOut(), PAUSE_MS);
    });
    return () => {
      clearTimeout(timer);
      stop();
    };
  }

  /** Keeps the plan and gives its id; null where that did not work. */
  async keep(): Promise<string | null> {
    const plan = this.draft.value?.plan() ?? null;
    if (plan === null || this.busy.value) return null;
    let kept: string | null = null;
    this.busy.value = true;
    await this.#complaints.act(async () => {
      kept = (await this.#service.planPourDay(this.id, plan)).id;
      this.#kept.value = JSON.stringify(plan);
    }).finally(() => this.busy.value = false);
    return kept;
  }

  #workOut(): Promise<void> {
    const plan = this.draft.value?.plan() ?? null;
    if (plan === null) return Promise.resolve();
    this.#asked += 1;
    const turn = this.#asked;
    return this.#complaints.watch(async () => {
      const answer = await this.#service.previewPourDay(this.id, plan).catch(asProblem);
      if (turn !== this.#asked) return; // the plan has changed since
      this.problem.value = typeof answer === "string" ? answer : null;
      if (typeof answer !== "string") this.shown.value = answer;
    });
  }
}

/** What is wrong with the plan, in words; that nobody answered is no fault of the plan. */
function asProblem(error: unknown): string {
  if (!(error instanceof Refusal) || error.status === UNREACHABLE) throw error;
  return [error.message, ...error.fields].join(" ");
}
