import { useEffect } from "preact/hooks";

const APP = "Potrounds";

/** Names the tab after the screen; undefined while the name is not known yet. */
export function useTitle(title: string | undefined): void {
  useEffect(() => {
    document.title = title && title !== APP ? `${title} · ${APP}` : APP;
  }, [title]);
}
