// How this person likes the page; kept apart from the jobs, and lost without harm.

export interface Preferences {
  comma: boolean; // the keypad's decimal sign
  voice: boolean; // each step is read aloud
  pedal: string; // the key that a foot switch sends, as KeyboardEvent.key; empty: none
  look: "auto" | "light" | "dark";
}

const kKey = "lugwise-page-preferences";
const kUsual: Preferences = {comma: false, voice: false, pedal: "PageDown", look: "auto"};

export function preferences(): Preferences {
  try {
    return {...kUsual, ...(JSON.parse(localStorage.getItem(kKey) ?? "{}") as Partial<Preferences>)};
  } catch {
    return {...kUsual};
  }
}

export function keep_preferences(now: Preferences): void {
  try {
    localStorage.setItem(kKey, JSON.stringify(now));
  } catch {
    // They hold while the page is open.
  }
}
