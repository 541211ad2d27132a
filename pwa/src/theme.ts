/** Light, dark, or as the phone: set on the root before the first picture. */

import type { Theme } from "./store/settings";

const KEY = "potrounds-theme";

/** The theme this phone was last set to. IndexedDB answers too late for the first picture. */
export function rememberedTheme(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === "dark" || kept === "phone" ? kept : "light";
  } catch {
    return "light";
  }
}

/** Draws everything in this theme from now on. Light is the default: many phones go dark at noon. */
export function applyTheme(theme: Theme): void {
  if (theme === "phone") document.documentElement.removeAttribute("data-theme");
  else document.documentElement.dataset.theme = theme;
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // private browsing: then it is set anew after the store has been read
  }
}
