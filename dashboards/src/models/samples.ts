const FIRST_LENGTH = 1024;

/** Times and values side by side, in ascending order of time; NaN is a gap. */
export interface Samples {
  readonly t: Float64Array;
  readonly value: Float64Array;
}

/**
 * Samples that grow at their end and are forgotten at their beginning.
 * The arrays are up to twice as long as what they hold, so that each sample costs the same.
 */
export class SampleBuffer implements Samples {
  #t = new Float64Array(FIRST_LENGTH);
  #value = new Float64Array(FIRST_LENGTH);
  #start = 0;
  #end = 0;

  get length(): number {
    return this.#end - this.#start;
  }

  /** A view, good until the next sample. */
  get t(): Float64Array {
    return this.#t.subarray(this.#start, this.#end);
  }

  /** A view, good until the next sample. */
  get value(): Float64Array {
    return this.#value.subarray(this.#start, this.#end);
  }

  get lastT(): number {
    return this.length === 0 ? -Infinity : this.#t[this.#end - 1] ?? -Infinity;
  }

  add(t: number, value: number): void {
    if (this.#end === this.#t.length) this.#makeRoom();
    this.#t[this.#end] = t;
    this.#value[this.#end] = value;
    this.#end += 1;
  }

  /** Forgets what is older, and the oldest beyond `most`; what is left begins with no gap. */
  forget(before: number, most: number): void {
    this.#start = Math.max(this.#start, this.#end - most);
    while (this.#start < this.#end && this.#isPast(this.#start, before)) this.#start += 1;
  }

  #isPast(place: number, before: number): boolean {
    return (this.#t[place] ?? before) < before || Number.isNaN(this.#value[place]);
  }

  #makeRoom(): void {
    const longer = this.length > this.#t.length / 2 ? this.#t.length * 2 : this.#t.length;
    const [t, value] = [new Float64Array(longer), new Float64Array(longer)];
    t.set(this.t);
    value.set(this.value);
    [this.#t, this.#value, this.#start, this.#end] = [t, value, 0, this.length];
  }
}

/** The first place at which a sample is not before `at`. */
export function placeOf(t: Float64Array, at: number): number {
  let [low, high] = [0, t.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((t[middle] ?? at) < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
