import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { RefObject } from "preact";

/** The width of an element in CSS pixels, followed as it changes; 0 before it is laid out. */
export function useWidth<E extends HTMLElement>(): [RefObject<E | null>, number] {
  const host = useRef<E | null>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = host.current;
    if (element === null) return undefined;
    const sizes = new ResizeObserver(() => setWidth(element.clientWidth));
    sizes.observe(element);
    setWidth(element.clientWidth);
    return () => sizes.disconnect();
  }, []);
  return [host, width];
}
