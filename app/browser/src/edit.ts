// The netlist as text, with what is wrong beside its lines.
import {html, nothing, type TemplateResult} from "lit-html";
import type {App} from "./app.js";
import type {Problem} from "./engine.js";
import {forget_harness} from "./harness.js";

function row(problem: Problem, kind: string): TemplateResult {
  const jump = (): void => {
    const area = document.querySelector<HTMLTextAreaElement>("#netlist");
    if (!area || !problem.line) return;
    const lines = area.value.split("\n");
    const start = lines.slice(0, problem.line - 1).join("\n").length + (problem.line > 1 ? 1 : 0);
    area.focus();
    area.setSelectionRange(start, start + (lines[problem.line - 1]?.length ?? 0));
  };
  return html`<li class=${kind}><button type="button" @click=${jump}>${problem.line ? `line ${problem.line}` : kind}</button>
    ${problem.message}${problem.notes.map((note) => html`; ${note.message}`)}</li>`;
}

export function edit_screen(app: App): TemplateResult {
  const job = app.job;
  if (!job) return html`<h1 tabindex="-1">No harness</h1>`;
  const take = (): void => {
    const area = document.querySelector<HTMLTextAreaElement>("#netlist");
    if (!area) return;
    void app.doing(async () => {
      job.files = {...job.files, [job.harness]: area.value};
      await app.keep_job();
      forget_harness();
      app.session = null;
      await app.describe();
      if (!app.refused) app.go("harness");
    });
  };
  return html`
    <h1 tabindex="-1">Change the harness</h1>
    ${app.refused
      ? html`<div role="status"><ul class="plain problems">${app.refused.errors.map((problem) => row(problem, "error"))}${app.refused.warnings.map((problem) => row(problem, "warning"))}</ul></div>`
      : nothing}
    <label for="netlist">The netlist, ${job.harness}</label>
    <textarea id="netlist" rows="24" spellcheck="false" autocapitalize="off" wrap="off" .value=${job.files[job.harness] ?? ""}></textarea>
    <div class="row"><button type="button" class="main" id="main" ?disabled=${app.busy} @click=${take}>Check and use it</button>
      <button type="button" @click=${() => app.save_netlist()}>Save the netlist</button></div>`;
}
