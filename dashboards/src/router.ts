import { computed, signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";
import { placeOf } from "./places.ts";

/** Where this window is. */
export class Router {
  readonly #address = signal(location.pathname + location.search);
  readonly place = computed(() => placeOf(this.#address.value));
  /** The part of the page that was asked for, empty where none was. */
  readonly part = signal(partHere());
  #arrivals = 0;
  /** Asked before a link is followed; a page with work that is not kept sets it. */
  mayLeave: () => boolean = () => true;

  /** Follows links of the same origin without loading the page anew. */
  start(): void {
    history.scrollRestoration = "manual"; // the browser's comes before the page has its height
    window.addEventListener("popstate", ({ state }) => {
      this.#arrive();
      this.#scrollBack(placeIn(state));
    });
    window.addEventListener("pagehide", () => this.#notePlace());
    const left = placeIn(history.state);
    if (left > 0) this.#scrollBack(left);
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
    this.#notePlace();
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
    history.replaceState(history.state, "", url);
    this.#arrive();
  }

  #scrollBack(top: number): void {
    const arrival = this.#arrivals;
    scrollBackTo(top, () => arrival === this.#arrivals);
  }

  #notePlace(): void {
    history.replaceState({ top: window.scrollY }, "");
  }

  #arrive(): void {
    this.#arrivals += 1;
    this.#address.value = location.pathname + location.search;
    this.part.value = partHere();
  }
}

function partHere(): string {
  return location.hash.slice(1);
}

/** A page is fetched before it is as long as it was; longer than this nobody waits to be moved. */
const GROWS_MS = 8_000;
/** What comes last may still push the rest down. */
const HOLDS_MS = 1_000;
const TOUCHES = ["wheel", "touchstart", "keydown", "pointerdown"] as const;

/**
 * Goes to where a page was left, once it is long enough, unless somebody scrolls meanwhile or
 * goes on to another one: while `isHere`.
 */
function scrollBackTo(top: number, isHere: () => boolean): void {
  let until = performance.now() + GROWS_MS;
  let reached = false;
  const stop = (): void => void (until = 0);
  for (const touch of TOUCHES) window.addEventListener(touch, stop, { passive: true });
  const look = (): void => {
    if (performance.now() > until || !isHere()) {
      for (const touch of TOUCHES) window.removeEventListener(touch, stop);
      return;
    }
    const room = document.documentElement.scrollHeight - window.innerHeight;
    if (!reached && room >= top) {
      reached = true;
      until = performance.now() + HOLDS_MS;
    }
    if (reached && window.scrollY !== top) window.scrollTo(0, top);
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/** How far down a page was left, as `go` noted it. */
function placeIn(state: unknown): number {
  const noted = typeof state === "object" && state !== null && "top" in state ? state.top : 0;
  return typeof noted === "number" ? noted : 0;
}
