// The big keypad: what the meter shows, key by key.
import {html, nothing, type TemplateResult} from "lit-html";

export type Key = string;

// Words that a display shows as a whole.
const kWords = ["OL", "beep", "no beep", "unstable"];

// What stands on the keypad's display after a key.
export function pressed(display: string, key: Key, comma: boolean): string {
  if (key === "⌫") return kWords.includes(display) ? "" : display.slice(0, -1);
  if (kWords.includes(key)) return key;
  const now = kWords.includes(display) ? "" : display;
  if (key === ".") return /[.,kM]/.test(now) ? now : (now || "0") + (comma ? "," : ".");
  if (key === "k" || key === "M") return now === "" || /[kM]$/.test(now) ? now.replace(/[kM]$/, key) : now + key;
  return /[kM]$/.test(now) || now.length >= 8 ? now : now + key;
}

const kKeys: Key[] = [
  "7", "8", "9", "OL", "beep",
  "4", "5", "6", "M", "no beep",
  "1", "2", "3", "k", "unstable",
  ".", "0", "⌫",
];

const kNames: Record<string, string> = {
  "⌫": "erase", ".": "decimal point", "k": "k, thousands of ohms", "M": "M, millions of ohms", "OL": "OL, over the range",
};

export interface KeypadOptions {
  label: string;
  display: string;
  comma: boolean;
  busy: boolean;
  take: string; // what the main key says
  press(key: Key): void;
  type(text: string): void;
  send(): void;
  beside?: unknown; // what stands beside the display
}

export function keypad(options: KeypadOptions): TemplateResult {
  const key = (name: Key): TemplateResult => {
    const face = name === "." && options.comma ? "," : name;
    const kind = kWords.includes(name) ? "key word" : "key";
    return html`<button type="button" class=${kind} aria-label=${kNames[name] ?? name} @click=${() => options.press(name)}>${face}</button>`;
  };
  return html`
    <form class="keypad" @submit=${(event: Event) => {
      event.preventDefault();
      options.send();
    }}>
      <div class="shown">
        <label class="display"><span>${options.label}</span>
          <input id="display" type="text" inputmode="none" autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="done"
            .value=${options.display} @input=${(event: Event) => options.type((event.target as HTMLInputElement).value)}></label>
        ${options.beside ?? nothing}
      </div>
      <div class="keys">
        ${kKeys.map(key)}
        <button type="submit" class="key take" id="main" ?disabled=${options.busy}>${options.take}</button>
      </div>
    </form>`;
}
