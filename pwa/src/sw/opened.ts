/** The page's side of a tap on a push: the worker names the screen to open. */

/** Calls back with the path of each push that was tapped. Returns how to stop. */
export function onPushOpened(open: (path: string) => void): () => void {
  const workers = navigator.serviceWorker;
  const listener = (event: MessageEvent) => {
    const said = event.data as { type?: string; path?: string } | null;
    if (said?.type === "OPEN" && said.path) open(said.path);
  };
  workers?.addEventListener("message", listener);
  return () => workers?.removeEventListener("message", listener);
}
