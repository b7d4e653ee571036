import { signal } from "@preact/signals";
import type { ReadonlySignal } from "@preact/signals";

/** Whether somebody can see this window; `gone` is left, put away or frozen by the browser. */
export type Presence = "shown" | "hidden" | "gone";

/** Follows the window's presence. One that was left may come back as it was, by the back button. */
export function watchPresence(): ReadonlySignal<Presence> {
  const presence = signal<Presence>("shown");
  const look = (): void => void (presence.value = document.hidden ? "hidden" : "shown");
  const leave = (): void => void (presence.value = "gone");
  document.addEventListener("visibilitychange", look);
  document.addEventListener("resume", look);
  document.addEventListener("freeze", leave);
  window.addEventListener("pageshow", look);
  window.addEventListener("pagehide", leave);
  look();
  return presence;
}
