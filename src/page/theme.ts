import { set, type Theme } from "./state.ts";

const KEY = "reedlift theme";
const THEMES: readonly Theme[] = ["as the system", "light", "dark"];

export function restoreTheme(): void {
  const kept = localStorage.getItem(KEY) as Theme | null;
  showTheme(kept !== null && THEMES.includes(kept) ? kept : "as the system");
}

export function showTheme(theme: Theme): void {
  const root = document.documentElement;
  if (theme === "as the system") delete root.dataset.theme;
  else root.dataset.theme = theme;
  try {
    localStorage.setItem(KEY, theme);
  } catch {
    // Without room the choice holds for this visit.
  }
  set({ theme });
}

export const nextTheme = (theme: Theme): Theme =>
  THEMES[(THEMES.indexOf(theme) + 1) % THEMES.length] as Theme;
