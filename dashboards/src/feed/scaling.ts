export interface Size {
  width: number;
  height: number;
}

/** A size with the same shape whose longer side is at most so long; one that fits stays. */
export function scaledTo(longest: number, width: number, height: number): Size {
  const factor = Math.min(1, longest / Math.max(width, height));
  const side = (pixels: number): number => Math.max(1, Math.round(pixels * factor));
  return { width: side(width), height: side(height) };
}
