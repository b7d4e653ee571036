/** Buttons go where their alarm goes: whoever works by key goes on in the page. */
export function catchFocus(): void {
  if (document.activeElement !== document.body) return;
  document.getElementById("content")?.focus({ preventScroll: true });
}
