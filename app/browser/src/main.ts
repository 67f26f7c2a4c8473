// The page begins here.
import {html, nothing, render, type TemplateResult} from "lit-html";
import {App, type ScreenName} from "./app.js";
import {edit_screen} from "./edit.js";
import {harness_screen} from "./harness.js";
import {practice_screen} from "./practice.js";
import {start_screen} from "./start.js";
import {has_voice} from "./voice.js";
import {work_screen} from "./work.js";

const root = document.querySelector<HTMLElement>("#page");

const kScreens: Record<ScreenName, (app: App) => TemplateResult> = {
  start: start_screen, harness: harness_screen, work: work_screen, edit: edit_screen, practice: practice_screen,
};

function likes(app: App): TemplateResult {
  const now = app.likes;
  return html`
    <details class="likes"><summary>How the page works for you</summary>
      <label><input type="checkbox" .checked=${now.comma} @change=${(e: Event) => app.like({comma: (e.target as HTMLInputElement).checked})}> decimal comma on the keypad</label>
      ${has_voice() ? html`<label><input type="checkbox" .checked=${now.voice} @change=${(e: Event) => app.like({voice: (e.target as HTMLInputElement).checked})}> read each step aloud</label>` : nothing}
      <label>A foot switch sends
        <select @change=${(e: Event) => app.like({pedal: (e.target as HTMLSelectElement).value})}>
          ${[["", "nothing"], ["PageDown", "page down"], [" ", "space"], ["Enter", "enter"]].map(([key, name]) => html`<option value=${key ?? ""} ?selected=${now.pedal === key}>${name}</option>`)}
        </select></label>
      <label>Light
        <select @change=${(e: Event) => app.like({look: (e.target as HTMLSelectElement).value as "auto"})}>
          ${["auto", "light", "dark"].map((look) => html`<option value=${look} ?selected=${now.look === look}>${look}</option>`)}
        </select></label>
    </details>`;
}

function frame(app: App): TemplateResult {
  document.documentElement.dataset["look"] = app.likes.look;
  document.documentElement.dataset["busy"] = app.busy ? "yes" : "no";
  return html`
    <header>${app.screen === "start" ? html`<b>lugwise</b>` : html`
      <button type="button" @click=${() => { void app.list(); app.go("start"); }}>All jobs</button>
      ${app.screen === "harness" || !app.description ? nothing : html`<button type="button" @click=${() => app.go("harness")}>The harness</button>`}`}
      <span>${app.screen === "start" ? nothing : app.description?.name}</span></header>
    <main>
      ${app.notice ? html`<p class="banner ${app.notice.bad ? "bad" : ""}" role="alert">${app.notice.text}</p>` : nothing}
      ${kScreens[app.screen](app)}
    </main>
    <footer>${likes(app)}</footer>`;
}

// A foot switch does what the screen's main button does.
function pedal(app: App, event: KeyboardEvent): void {
  if (app.likes.pedal === "" || event.key !== app.likes.pedal || event.repeat) return;
  const at = event.target instanceof Element ? event.target : null;
  if (event.key !== "PageDown" && at?.closest("input, textarea, select, button, summary")) return;
  const main = document.querySelector<HTMLButtonElement>("#main");
  if (!main) return;
  event.preventDefault();
  main.click();
}

async function begin(): Promise<void> {
  if (!root) return;
  try {
    let app: App | null = null;
    const started = await App.begin(() => { if (app) render(frame(app), root); });
    app = started;
    addEventListener("keydown", (event) => pedal(started, event));
    addEventListener("hashchange", () => {
      const asked = location.hash.slice(1);
      if (asked !== started.screen && (asked === "start" || asked === "" || (asked in kScreens && started.job))) started.go((asked || "start") as ScreenName);
    });
    root.replaceChildren();
    render(frame(started), root);
    document.documentElement.dataset["ready"] = "yes";
  } catch (error) {
    root.replaceChildren(Object.assign(document.createElement("p"), {className: "banner bad", textContent: error instanceof Error ? error.message : String(error)}));
    root.firstElementChild?.setAttribute("role", "alert");
  }
}

void begin();
