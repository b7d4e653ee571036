/** Keys that work wherever they are pressed, unless something with a use for them has the focus. */
export function onFreeKey(keys: readonly string[], act: () => void): () => void {
  const listen = (event: KeyboardEvent): void => {
    const modified = event.ctrlKey || event.metaKey || event.altKey;
    if (modified || event.repeat || event.defaultPrevented) return;
    if (!keys.includes(event.key) || isTaken(event.target, event.key)) return;
    event.preventDefault();
    act();
  };
  document.addEventListener("keydown", listen);
  return () => document.removeEventListener("keydown", listen);
}

/** What a key presses where it has the focus: a link is no matter of the space bar. */
const PRESSED_BY: Readonly<Record<string, string>> = {
  " ": "button, summary", "Enter": "button, a, summary",
};

/** A field wants every key; a button or link only those that press it. */
function isTaken(target: EventTarget | null, key: string): boolean {
  if (!(target instanceof Element)) return false;
  if (target.closest("input, select, textarea") !== null) return true;
  const pressed = PRESSED_BY[key];
  return pressed !== undefined && target.closest(pressed) !== null;
}
