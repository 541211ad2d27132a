import { useLayoutEffect, useRef, useState } from "preact/hooks";

/** The width an element is given [px], so that a drawing keeps its words at their size. */
export function useWidth<T extends Element>(first: number) {
  const ref = useRef<T>(null);
  const [width, setWidth] = useState(first);
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const read = () => {
      const now = Math.round(element.getBoundingClientRect().width);
      if (now > 0) setWidth(now);
    };
    read();
    const watch = new ResizeObserver(read);
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  return { ref, width };
}
