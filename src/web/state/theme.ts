export type ThemeChoice = "system" | "paper" | "bay";

const KEY = "theme";

export function themeChoice(): ThemeChoice {
  const kept = localStorage.getItem(KEY);
  return kept === "paper" || kept === "bay" ? kept : "system";
}

/** Sets the theme on the page; a choice is kept by this browser only, since it belongs to the room one sits in. */
export function applyTheme(choice: ThemeChoice = themeChoice()): void {
  if (choice === "system") {
    localStorage.removeItem(KEY);
    delete document.documentElement.dataset.theme;
    return;
  }
  localStorage.setItem(KEY, choice);
  document.documentElement.dataset.theme = choice;
}
