import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { placeOf } from "./places.ts";

/** Where this window is. */
export class Router {
  readonly #address = signal(location.pathname + location.search);
  readonly place = computed(() => placeOf(this.#address.value));
  /** The part of the page that was asked for, empty where none was. */
  readonly part = signal(partHere());
  /** Asked before a link is followed; a page with work that is not kept sets it. */
  mayLeave: () => boolean = () => true;

  /** Follows links of the same origin without loading the page anew. */
  start(): void {
    window.addEventListener("popstate", () => this.#arrive());
    document.addEventListener("click", (click) => this.#follow(click));
  }

  #follow(click: MouseEvent): void {
    const modified = click.ctrlKey || click.metaKey || click.shiftKey || click.altKey;
    if (click.defaultPrevented || click.button !== 0 || modified) return;
    const link = click.target instanceof Element ? click.target.closest("a") : null;
    if (link === null || link.hasAttribute("download")) return; // a file is no page
    if (link.target !== "" || link.origin !== location.origin) return;
    if (link.pathname === location.pathname && link.hash !== "") return;
    click.preventDefault();
    if (this.mayLeave()) this.go(link.href);
  }

  /** Asks before unkept work is left, by link or by closing the window; returns how to stop. */
  guard(dirty: ReadonlySignal<boolean>, question: string): () => void {
    const letClose = this.guardWindow(dirty);
    this.mayLeave = () => !dirty.peek() || window.confirm(question);
    return () => {
      letClose();
      this.mayLeave = () => true;
    };
  }

  /** Has the browser ask before the window is closed on what is not kept; returns how to stop. */
  guardWindow(dirty: ReadonlySignal<boolean>): () => void {
    const ask = (event: BeforeUnloadEvent): void => {
      if (dirty.peek()) event.preventDefault();
    };
    window.addEventListener("beforeunload", ask);
    return () => window.removeEventListener("beforeunload", ask);
  }

  /** Goes to another page of this origin. */
  go(address: string): void {
    history.pushState(null, "", address);
    this.#arrive();
    // The link that led here may be gone, and would take the keys of the page meanwhile.
    document.getElementById("content")?.focus({ preventScroll: true });
    window.scrollTo(0, 0);
  }

  /** Changes parts of the address's query in place; null takes one out. */
  refine(changes: Readonly<Record<string, string | null>>): void {
    const url = new URL(location.href);
    for (const [key, value] of Object.entries(changes)) {
      if (value === null) url.searchParams.delete(key);
      else url.searchParams.set(key, value);
    }
    history.replaceState(null, "", url);
    this.#arrive();
  }

  #arrive(): void {
    this.#address.value = location.pathname + location.search;
    this.part.value = partHere();
  }
}

function partHere(): string {
  return location.hash.slice(1);
}
