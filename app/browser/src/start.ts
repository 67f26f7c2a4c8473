// The first screen: go on with a job, open or paste a netlist, or take a worked one.
import {html, nothing, type TemplateResult} from "lit-html";
import {base_name, type App} from "./app.js";
import {read_files} from "./file.js";
import type {Job} from "./store.js";

let pasted = "";
let removing = "";

function title_of(text: string, otherwise: string): string {
  return /^name\s*:\s*(.+)$/m.exec(text)?.[1]?.trim() ?? otherwise;
}

function about(text: string): string {
  return /^about\s*:\s*(.+)$/m.exec(text)?.[1]?.trim() ?? "";
}

function line_of(app: App, job: Job): TemplateResult {
  const name = title_of(job.files[job.harness] ?? "", base_name(job.harness));
  const count = job.record.match(/^ {2}- \{/gm)?.length ?? 0;
  const unsaved = job.record !== "" && job.record !== job.saved;
  const when = new Date(job.changed).toLocaleString();
  return html`
    <li class="job">
      <button type="button" class="wide" @click=${() => app.doing(() => app.open_job(job))}>
        <b>${name}</b>
        <span>${job.practice ? `exercise, level ${job.practice.level}` : count > 0 ? `${count} ${count === 1 ? "entry" : "entries"}` : "no entry yet"}, ${when}${unsaved ? "; not saved as a file" : ""}</span>
      </button>
      ${removing === job.id
        ? html`<button type="button" class="bad" @click=${() => app.doing(() => app.remove_job(job))}>Remove for good</button>
            <button type="button" @click=${() => { removing = ""; app.update(); }}>Keep</button>`
        : html`<button type="button" aria-label=${`Remove ${name}`} @click=${() => { removing = job.id; app.update(); }}>Remove…</button>`}
    </li>`;
}

function choices(app: App): TemplateResult[] {
  const names = Object.keys(app.worked).filter((name) => !name.includes("/"));
  const number = (name: string): number => Number(/(\d+)\D*$/.exec(name)?.[1] ?? 0);
  names.sort((a, b) => number(a) - number(b));
  return names.map((name) => {
    const text = app.worked[name] ?? "";
    return html`
      <li><button type="button" class="wide" data-harness=${name} @click=${() => app.doing(() => app.new_job(name, {...app.worked}))}>
        <b>${title_of(text, name)}</b><span>${about(text)}</span></button></li>`;
  });
}

export function start_screen(app: App): TemplateResult {
  const open = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    if (!input.files || input.files.length === 0) return;
    const list = input.files;
    void app.doing(async () => {
      const files = await read_files(list);
      input.value = "";
      await app.take_files(files);
    });
  };
  return html`
    <h1 tabindex="-1">What is on the bench?</h1>
    ${app.store.refused
      ? html`<p class="banner bad" role="alert"><b>This browser keeps nothing for this page</b> (${app.store.refused}). You can work, but save
          the record as a file before you close it.</p>`
      : nothing}
    ${app.jobs.length > 0
      ? html`<section><h2>Go on with</h2><ul class="plain">${app.jobs.map((job) => line_of(app, job))}</ul></section>`
      : nothing}
    <section>
      <h2>Open</h2>
      <p>A netlist, or a record with the netlist it was made of: choose both together.</p>
      <label class="button main">Choose files
        <input type="file" multiple accept=".yaml,.yml,text/yaml,text/plain" @change=${open}></label>
      <details>
        <summary>Paste a netlist</summary>
        <label for="paste">The netlist's text</label>
        <textarea id="paste" rows="8" spellcheck="false" autocapitalize="off" .value=${pasted}
          @input=${(event: Event) => { pasted = (event.target as HTMLTextAreaElement).value; }}></textarea>
        <button type="button" @click=${() => {
          if (pasted.trim() !== "") void app.doing(() => app.take_files({"pasted.yaml": pasted}));
        }}>Use this text</button>
      </details>
    </section>
    <section>
      <h2>Or take a worked harness</h2>
      <p>The nearest one, then change its values.</p>
      <ul class="plain grid">${choices(app)}</ul>
    </section>
    <section class="cautions">
      <h2>Before you probe</h2>
      <ul>
        <li>Unplug at both ends. The cable's far plug is the probe point. Never measure resistance in anything powered.</li>
        <li>Take an active instrument's battery out and cover its clip.</li>
        <li>Strings whip: slacken them before you touch bridge, claw or springs, and wear eye protection.</li>
        <li>The iron burns, its fumes need air; wash your hands after leaded solder.</li>
        <li>A shock, or noise that follows the house wiring or the amplifier: stop. That is work for a licensed electrician or a qualified
          amplifier technician, under local codes. Never lift a mains earth, and never cut the string ground.</li>
      </ul>
    </section>`;
}
