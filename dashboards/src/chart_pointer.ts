/** What a hand does on a chart: pointing, dragging, pinching. Knows the chart library. */
import type uPlot from "uplot";

/** What a chart tells of the hand; times in epoch seconds. */
export interface Pointing {
  /** A moment is pointed at. */
  point(at: number): void;
  /** The part between two moments was drawn out. */
  choose(from: number, to: number): void;
  /** `factor` times as much is to be seen, and `at` stays where it is. */
  zoom(factor: number, at: number): void;
  /** Everything is to be seen this many seconds later. */
  shift(byS: number): void;
  showWhole(): void;
}

/** A shorter drag is a hand that was not quite still; CSS pixels. */
const LEAST_DRAG = 8;
const WHEEL_TURN = 0.002;

/** The cursor of one chart and the gestures upon it. */
export class ChartPointer {
  readonly #pointing: Pointing;
  readonly #line = part("chart-cursor");
  readonly #choice = part("chart-choice");
  readonly #touching = new Map<number, number>();
  #plot: uPlot | null = null;
  #at: number | null = null;
  #draggedFrom: number | null = null;

  constructor(pointing: Pointing) {
    this.#pointing = pointing;
  }

  /** Shows the cursor at a moment; null hides it. */
  show(at: number | null): void {
    this.#at = at;
    this.#place();
  }

  /** What the chart library needs to take it in; a plot that is built anew takes it again. */
  plugin(): uPlot.Plugin {
    return { hooks: { init: (plot) => this.#join(plot), draw: () => this.#place() } };
  }

  #join(plot: uPlot): void {
    this.#plot = plot;
    this.#touching.clear();
    this.#draggedFrom = null;
    const { over } = plot;
    over.classList.add("chart-over");
    over.append(this.#line, this.#choice);
    over.addEventListener("pointerdown", (event) => this.#down(event));
    over.addEventListener("pointermove", (event) => this.#move(event));
    over.addEventListener("pointerup", (event) => this.#up(event));
    over.addEventListener("pointercancel", (event) => this.#forget(event));
    over.addEventListener("dblclick", () => this.#pointing.showWhole());
    over.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
  }

  #place(): void {
    const x = this.#at === null ? -1 : this.#plot?.valToPos(this.#at, "x") ?? -1;
    this.#line.hidden = x < 0 || x > (this.#plot?.over.clientWidth ?? 0);
    this.#line.style.transform = `translateX(${x}px)`;
  }

  #down(event: PointerEvent): void {
    if (event.button !== 0) return;
    const x = this.#x(event);
    if (event.pointerType === "touch") this.#touching.set(event.pointerId, x);
    else this.#draggedFrom = x;
    this.#plot?.over.setPointerCapture(event.pointerId);
    this.#pointing.point(this.#time(x));
  }

  #move(event: PointerEvent): void {
    const x = this.#x(event);
    if (this.#touching.has(event.pointerId)) {
      this.#touch(event.pointerId, x);
      return;
    }
    if (event.pointerType === "touch") return;
    this.#pointing.point(this.#time(x));
    this.#draw(this.#draggedFrom, x);
  }

  /** One finger moves the cursor; with a second one the span follows both. */
  #touch(pointer: number, x: number): void {
    const before = [...this.#touching.values()];
    this.#touching.set(pointer, x);
    const after = [...this.#touching.values()];
    const [a0, b0] = before;
    const [a1, b1] = after;
    if (a0 === undefined || a1 === undefined) return;
    if (b0 === undefined || b1 === undefined) {
      this.#pointing.point(this.#time(a1));
      return;
    }
    const apart = (one: number, other: number): number => Math.max(20, Math.abs(one - other));
    const middle = this.#time((a1 + b1) / 2);
    this.#pointing.shift(this.#time((a0 + b0) / 2) - middle);
    this.#pointing.zoom(apart(a0, b0) / apart(a1, b1), middle);
  }

  #up(event: PointerEvent): void {
    const [from, x] = [this.#draggedFrom, this.#x(event)];
    this.#forget(event);
    if (from === null || Math.abs(x - from) < LEAST_DRAG) return;
    this.#pointing.choose(this.#time(from), this.#time(x));
  }

  #forget(event: PointerEvent): void {
    this.#touching.delete(event.pointerId);
    this.#draggedFrom = null;
    this.#draw(null, 0);
  }

  #draw(from: number | null, to: number): void {
    this.#choice.hidden = from === null || Math.abs(to - from) < LEAST_DRAG;
    this.#choice.style.transform = `translateX(${Math.min(from ?? 0, to)}px)`;
    this.#choice.style.width = `${Math.abs(to - (from ?? 0))}px`;
  }

  /** Without the control key the page scrolls, as everywhere. */
  #wheel(event: WheelEvent): void {
    if (!event.ctrlKey) return;
    event.preventDefault();
    this.#pointing.zoom(Math.exp(event.deltaY * WHEEL_TURN), this.#time(this.#x(event)));
  }

  #x(event: MouseEvent): number {
    const { left, width } = this.#plot?.over.getBoundingClientRect() ?? { left: 0, width: 0 };
    return Math.min(width, Math.max(0, event.clientX - left));
  }

  #time(x: number): number {
    return this.#plot?.posToVal(x, "x") ?? 0;
  }
}

function part(name: string): HTMLElement {
  const element = document.createElement("div");
  element.className = name;
  element.hidden = true;
  return element;
}
