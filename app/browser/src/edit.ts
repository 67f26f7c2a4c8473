// The harness is changed: by hand on its picture, or as text with what is wrong beside its lines. Either way the text is the
// netlist, and each change can be taken back.
import {html, nothing, type TemplateResult} from "lit-html";
import {live} from "lit-html/directives/live.js";
import type {App} from "./app.js";
import type {Problem} from "./engine.js";
import {Figure} from "./figure.js";
import {forget_harness} from "./harness.js";
import {point_list} from "./points.js";
import {add_joint, add_part, add_wire, attached_to, remove_lead, remove_leg, remove_part, rename_part, set_value, set_wire, values_of, type Attached} from "./netlist_edit.js";

const figure = new Figure(true);
let job_id = "";
let drawn = ""; // the text that the picture is of
let chosen: string[] = [];
let past: string[] = []; // texts before the last changes
let future: string[] = []; // texts that were taken back
let wire = {name: "", colour: ""};
let part = {kind: "pot", name: "", value: ""};
let refused: Problem[] = []; // of a change by hand that was not made

const kColours = ["black", "white", "red", "green", "blue", "yellow", "orange", "brown", "grey", "violet", "bare"];

// What a new part is given, and what is said where its value is typed.
const kKinds: Record<string, {words: string; example: string; body: (value: string) => string}> = {
  pickup: {words: "ohms of its coil", example: "6.2k", body: (value) => `{kind: pickup, dcr: ${value}}`},
  pot: {words: "ohms of its track", example: "250k", body: (value) => `{kind: pot, track: ${value}}`},
  capacitor: {words: "its value", example: "47n", body: (value) => `{kind: capacitor, value: ${value}}`},
  resistor: {words: "its value", example: "150k", body: (value) => `{kind: resistor, value: ${value}}`},
  switch: {words: "its lugs, the common one last", example: "a, b, out", body: switch_body},
  jack: {words: "its contacts", example: "tip, sleeve", body: (value) => `{kind: jack, contacts: [${value}]}`},
  metal: {words: "its points, each touching the next", example: "bridge, strings", body: (value) => `{kind: metal, points: [${value}]}`},
};

// Each lug in turn meets the common one.
function switch_body(value: string): string {
  const lugs = value.split(/[\s,]+/).filter((lug) => lug !== "");
  const common = lugs[lugs.length - 1] ?? "";
  const positions = lugs.slice(0, -1).map((lug) => `${lug}: [[${lug}, ${common}]]`);
  return `{kind: switch, lugs: [${lugs.join(", ")}], positions: {${positions.join(", ")}}}`;
}

const text_of = (app: App): string => app.job?.files[app.job.harness] ?? "";

async function put_text(app: App, text: string): Promise<void> {
  const job = app.job;
  if (!job) return;
  job.files = {...job.files, [job.harness]: text};
  await app.keep_job();
  forget_harness();
  app.session = null;
  await app.describe();
}

// A change by hand is made where the engine can read what comes of it, and else not at all.
function change(app: App, make: (text: string) => string): void {
  void app.doing(async () => {
    const before = text_of(app);
    const after = make(before);
    if (after === before) return;
    await put_text(app, after);
    refused = app.refused?.errors ?? [];
    if (refused.length > 0) {
      await put_text(app, before);
      return;
    }
    past = [...past, before].slice(-100);
    future = [];
    await redraw(app);
  });
}

function step_back(app: App, from: string[], to: string[]): void {
  const text = from.pop();
  if (text === undefined) return;
  void app.doing(async () => {
    to.push(text_of(app));
    refused = [];
    await put_text(app, text);
    await redraw(app);
  });
}

async function redraw(app: App): Promise<void> {
  drawn = text_of(app);
  const known = new Set(app.description?.points.map((point) => point.name) ?? []);
  chosen = chosen.filter((point) => known.has(point));
  figure.show(app.refused ? "" : await app.draw([]));
  figure.choose(chosen);
}

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

function colours(now: string, pick: (colour: string) => void, label: string): TemplateResult {
  const all = now === "" || kColours.includes(now) ? kColours : [...kColours, now];
  return html`<label>${label}
    <select @change=${(event: Event) => pick((event.target as HTMLSelectElement).value)}>
      <option value="" ?selected=${now === ""}>not given</option>
      ${all.map((colour) => html`<option value=${colour} ?selected=${colour === now}>${colour}</option>`)}
    </select></label>`;
}

function field(label: string, now: string, take: (value: string) => void): TemplateResult {
  return html`<label>${label}<input type="text" autocapitalize="off" spellcheck="false" .value=${live(now)}
    @change=${(event: Event) => take((event.target as HTMLInputElement).value)}></label>`;
}

function attachment(app: App, point: string, each: Attached): TemplateResult {
  const {index, points} = each;
  if (each.kind === "joint")
    return html`<li>Joint ${points.join(", ")}
      <button type="button" aria-label=${`Unsolder ${point} from ${points[0]}`} @click=${() => change(app, (text) => remove_lead(text, index, point === points[0] && points.length > 1 ? points[1] ?? point : point))}>${point === points[0] ? `Unsolder ${points[1] ?? ""}` : "Unsolder it"}</button></li>`;
  const at = points.indexOf(point);
  const legs = [points[at - 1], points[at + 1]].filter((other): other is string => other !== undefined);
  return html`<li>Wire ${points.join(" – ")}
    <div class="row">
      ${field("Name", each.name, (value) => change(app, (text) => set_wire(text, index, "name", value)))}
      ${colours(each.colour, (value) => change(app, (text) => set_wire(text, index, "colour", value)), "Colour")}
      ${legs.map((other) => html`<button type="button" @click=${() => change(app, (text) => remove_leg(text, index, point, other))}>Take off to ${other}</button>`)}
    </div></li>`;
}

// What is at the one point that is chosen.
function at_point(app: App, point: string): TemplateResult {
  const name = point.split(".")[0] ?? "";
  const text = text_of(app);
  const values = Object.entries(values_of(text, name)).filter(([key]) => key !== "kind");
  return html`
    <section><h2>${app.words_of(point)}</h2>
      <ul class="plain">${attached_to(text, point).map((each) => attachment(app, point, each))}</ul>
      <div class="row">
        ${field(`Name of the part ${name}`, name, (value) => change(app, (now) => { const next = rename_part(now, name, value.trim()); chosen = []; return next; }))}
        ${values.map(([key, value]) => field(key, value, (next) => change(app, (now) => set_value(now, name, key, next))))}
        <button type="button" @click=${() => change(app, (now) => remove_part(now, name))}>Take ${name} out</button>
      </div>
    </section>`;
}

function between_points(app: App, a: string, b: string): TemplateResult {
  return html`
    <section><h2>From ${a} to ${b}</h2>
      <div class="row">
        ${field("The wire's name", wire.name, (value) => { wire = {...wire, name: value.trim()}; })}
        ${colours(wire.colour, (colour) => { wire = {...wire, colour}; }, "Its colour")}
        <button type="button" class="main" id="draw-wire" @click=${() => { change(app, (text) => add_wire(text, a, b, wire.name, wire.colour)); wire = {name: "", colour: ""}; }}>Draw a wire</button>
        <button type="button" id="solder" @click=${() => change(app, (text) => add_joint(text, a, b))}>Solder lead ${b} to ${a}</button>
      </div>
    </section>`;
}

function new_part(app: App): TemplateResult {
  const kind = kKinds[part.kind];
  return html`
    <details><summary>Add a part</summary>
      <div class="row">
        <label>What it is
          <select id="part-kind" @change=${(event: Event) => { part = {...part, kind: (event.target as HTMLSelectElement).value, value: ""}; app.update(); }}>
            ${Object.keys(kKinds).map((name) => html`<option value=${name} ?selected=${name === part.kind}>${name}</option>`)}
          </select></label>
        <label>Its name<input id="part-name" type="text" autocapitalize="off" spellcheck="false" .value=${live(part.name)} @input=${(event: Event) => { part = {...part, name: (event.target as HTMLInputElement).value}; }}></label>
        <label>${kind?.words}, as ${kind?.example}<input id="part-value" type="text" autocapitalize="off" spellcheck="false" .value=${live(part.value)} @input=${(event: Event) => { part = {...part, value: (event.target as HTMLInputElement).value}; }}></label>
        <button type="button" id="add-part" @click=${() => change(app, (text) => add_part(text, part.name.trim(), kind?.body(part.value.trim() || kind.example) ?? ""))}>Add it</button>
      </div>
    </details>`;
}

function point_lists(app: App): TemplateResult {
  const points = (app.description?.points ?? []).map(({name}) => name).filter((name) => !name.includes(">"));
  const list = (at: number, label: string): TemplateResult => point_list(label, points, chosen, at, (next) => {
    chosen = next;
    figure.choose(chosen);
    app.update();
  });
  return html`<div class="row">${list(0, "One point")}${list(1, "Another")}</div>`;
}

function by_hand(app: App): TemplateResult {
  const [a, b] = chosen;
  return html`
    ${figure.view("Tap one point to see what is there, a second one to join them.")}
    <div class="row two">
      <button type="button" id="undo" ?disabled=${app.busy || past.length === 0} @click=${() => step_back(app, past, future)}>Undo</button>
      <button type="button" ?disabled=${app.busy || future.length === 0} @click=${() => step_back(app, future, past)}>Do again</button>
    </div>
    ${point_lists(app)}
    <div role="status">${refused.length > 0 ? html`<p class="banner bad">Not done: ${refused.map((problem) => problem.message).join("; ")}.</p>` : nothing}</div>
    ${a !== undefined && b !== undefined ? between_points(app, a, b) : a !== undefined ? at_point(app, a) : nothing}
    ${new_part(app)}`;
}

function safely(make: () => TemplateResult): TemplateResult {
  try {
    return make();
  } catch (error) {
    return html`<p class="banner">${error instanceof Error ? error.message : String(error)}</p>`;
  }
}

export function edit_screen(app: App): TemplateResult {
  const job = app.job;
  if (!job) return html`<h1 tabindex="-1">No harness</h1>`;
  if (job.id !== job_id) {
    job_id = job.id;
    chosen = [];
    past = [];
    future = [];
    refused = [];
    drawn = "";
  }
  if (!app.refused && drawn !== text_of(app)) void app.doing(() => redraw(app));
  figure.onPoint = (point) => {
    chosen = chosen.length === 1 && chosen[0] !== point ? [chosen[0] ?? "", point] : [point];
    figure.choose(chosen);
    app.update();
  };
  const take = (): void => {
    const area = document.querySelector<HTMLTextAreaElement>("#netlist");
    if (!area) return;
    const typed = area.value;
    void app.doing(async () => {
      if (typed !== text_of(app)) past = [...past, text_of(app)];
      await put_text(app, typed);
      if (!app.refused) app.go("harness");
    });
  };
  return html`
    <h1 tabindex="-1">Change the harness</h1>
    ${app.refused
      ? html`<div role="status"><ul class="plain problems">${app.refused.errors.map((problem) => row(problem, "error"))}${app.refused.warnings.map((problem) => row(problem, "warning"))}</ul></div>`
      : safely(() => by_hand(app))}
    <h2>As text</h2>
    <label for="netlist">The netlist, ${job.harness}</label>
    <textarea id="netlist" rows="24" spellcheck="false" autocapitalize="off" wrap="off" .value=${live(text_of(app))}></textarea>
    <div class="row"><button type="button" class="main" id="main" ?disabled=${app.busy} @click=${take}>Check and use it</button>
      <button type="button" @click=${() => app.save_netlist()}>Save the netlist</button></div>`;
}
