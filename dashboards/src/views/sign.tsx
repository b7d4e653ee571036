import type { JSX } from "preact";

/** Shapes that tell states apart without color; always beside a word that says the same. */
const SHAPES = {
  high: "M10 1 19 18H1ZM9 7v5h2V7Zm0 6.5v2h2v-2Z",
  medium: "M10 0 20 10 10 20 0 10ZM9 5v6h2V5Zm0 7.5v2h2v-2Z",
  low: "M10 1a9 9 0 1 0 0 18 9 9 0 0 0 0-18ZM9 5h2v2H9Zm0 4h2v6H9Z",
  check: "M2 11 5 8l3 3 7-8 3 3L8 17Z",
  up: "M10 2 18 12H13V18H7V12H2Z",
  down: "M10 18 2 8h5V2h6v6h5Z",
  pause: "M4 3h4v14H4Zm8 0h4v14h-4Z",
  cut: "M3 1 19 17l-2 2L1 3Z M17 1l2 2L3 19l-2-2Z",
  dash: "M3 8h14v4H3Z",
  loud: "M2 7h4l5-5v16l-5-5H2Zm11-1 1.5-1.5a8 8 0 0 1 0 11L13 14a6 6 0 0 0 0-8Z",
  mute: "M2 7h4l5-5v16l-5-5H2Zm10.5.5L14 6l2 2 2-2 1.5 1.5-2 2 2 2L18 13l-2-2-2 2-1.5-1.5 2-2Z",
} as const;

export type SignName = keyof typeof SHAPES;

export function Sign({ name }: { name: SignName }): JSX.Element {
  return (
    <svg class="sign" viewBox="0 0 20 20" aria-hidden="true">
      <path d={SHAPES[name]} fill="currentColor" fill-rule="evenodd" />
    </svg>
  );
}
