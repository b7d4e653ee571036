/** A space that no line is broken at: a number and its unit are read as one. */
const STAYS = "\u00a0";
const QUANTITY = /(\d) (?=(?:°C|°F|g|oz|kg|MB|GB|h|min|s|%)(?![\p{L}\d]))/gu;

/** A sentence whose numbers stay on one line with their units. */
export function unbroken(text: string): string {
  return text.replace(QUANTITY, `$1${STAYS}`);
}
