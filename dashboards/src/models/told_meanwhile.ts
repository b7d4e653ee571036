/**
 * What the feed told while something was being fetched. The service tells in order, so that this
 * is at least as new as what was fetched, whichever of the two arrives first.
 */
export class ToldMeanwhile {
  #count = 0;
  readonly #at = new Map<string, number>();

  /** Notes that a thing was told. */
  note(name: string): void {
    this.#count += 1;
    this.#at.set(name, this.#count);
  }

  /** To be called before a fetch: what it returns gives the things that were told since. */
  watch(): () => string[] {
    const from = this.#count;
    return () => [...this.#at].filter(([, at]) => at > from).map(([name]) => name);
  }
}
