import { computed, signal } from "@preact/signals";
import { placeOf } from "./places.ts";

/** Where this window is. */
export class Router {
  readonly #address = signal(location.pathname + location.search);
  readonly place = computed(() => placeOf(this.#address.value));

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
    this.go(link.href);
  }

  /** Goes to another page of this origin. */
  go(address: string): void {
    history.pushState(null, "", address);
    this.#arrive();
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
  }
}
