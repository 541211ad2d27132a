import "@fontsource-variable/atkinson-hyperlegible-next/wght.css";
import "./styles/index.css";
import "./app.css";
import { render } from "preact";
import { keepPush } from "./actions/push";
import { refreshMe } from "./actions/session";
import { App } from "./app";
import { readSettings } from "./store/settings";
import { keepOffline } from "./sw/updates";
import { startTriggers } from "./sync/triggers";
import { applyTheme, rememberedTheme } from "./theme";

/** Addresses that lead to membership: the worker is wanted from here on. */
const ON_THE_WAY_IN = /^\/(join|sign-in)\/?$/;

// A broken escape in a typed address would throw inside the router.
try {
  decodeURIComponent(location.pathname);
} catch {
  history.replaceState(null, "", "/");
}

applyTheme(rememberedTheme());
const root = document.getElementById("app");
if (root) render(<App />, root);

readSettings().then(
  ({ me, sign_out_due }) => {
    // A passer-by's phone is left alone: no worker, no talk beyond the page that was asked for.
    if (me || ON_THE_WAY_IN.test(location.pathname)) void keepOffline();
    if (me || sign_out_due) void refreshMe().then(keepPush);
    startTriggers();
  },
  () => undefined, // no store: the app itself says so
);
