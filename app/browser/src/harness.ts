// A harness before the work: its picture, what a meter should show between two points, and how to begin.
import {html, nothing, type TemplateResult} from "lit-html";
import {shock_banner, words_of_setting} from "./wording.js";
import type {App} from "./app.js";
import type {Problem, Setting, Shows} from "./engine.js";
import {Figure} from "./figure.js";
import {point_list} from "./points.js";
import {make_practice} from "./practice.js";

interface Expected {
  shows?: Shows | string;
  expect?: {known: boolean; open: boolean; low: number | null; nominal: number | null; high: number | null};
  through?: {element: string; points: string[]; share: number}[];
  errors?: Problem[];
}

const figure = new Figure(true);
let job_id = "";
let chosen: string[] = [];
let setting: Setting = {};
let expected: Expected | null = null;
let drawn = "";
let listed: string[] = []; // every point that the picture shows
let complaint = "";
let which = "";

const kComplaints: [string, string][] = [
  ["silent", "silent"], ["weak", "weak"], ["thin", "thin"], ["crackles", "crackles"], ["cuts-out", "cuts out"], ["buzzes", "buzzes"],
  ["buzzes-until-touched", "buzzes until the strings are touched"], ["hums", "hums"], ["hums-when-touched", "hums when touched"],
  ["dull", "dull"], ["quiet", "quiet"], ["scratchy", "a control is scratchy"], ["does-nothing", "a control does nothing"],
  ["works-backwards", "a control works backwards"], ["all-or-nothing", "a control is all or nothing"], ["does-not-mute", "does not mute at 0"],
  ["always-on", "always on"], ["hollow", "hollow"], ["pops", "pops"], ["bleeds", "bleeds"], ["all-the-same", "all positions the same"],
  ["shock", "it gives a shock"],
];

const kLevels = ["1: an open or a short, readings given", "2: any fault, readings given", "3: a complaint alone", "4: two faults, or one that comes and goes"];

function set_words(): string[] {
  return Object.entries(setting).flatMap(([control, place]) => ["--set", `${control}=${place}`]);
}

async function work_out(app: App): Promise<void> {
  const job = app.job;
  if (!job) return;
  const [a, b] = chosen;
  expected = null;
  if (a !== undefined && b !== undefined && a !== b) {
    const ran = await app.engine.run(["expect", job.harness, a, b, ...set_words(), "--json"], job.files);
    expected = JSON.parse(ran.out) as Expected;
    drawn = await app.draw([...set_words(), "--probes", a, b]);
    figure.choose([]);
  } else {
    drawn = await app.draw(Object.keys(setting).length > 0 ? set_words() : []);
    figure.choose(chosen);
  }
  figure.show(drawn);
}

// A tap is the first point, the next one the second; a third begins anew.
async function tap(app: App, point: string): Promise<void> {
  chosen = chosen.length === 1 && chosen[0] !== point ? [chosen[0] ?? "", point] : [point];
  await app.doing(() => work_out(app));
}

async function begin(app: App): Promise<void> {
  const job = app.job;
  if (job?.id !== job_id && job) {
    job_id = job.id;
    chosen = [];
    setting = {};
    expected = null;
    complaint = which = "";
    drawn = await app.draw([]);
    figure.choose([]);
    figure.show(drawn);
    listed = [...new Set((app.description?.points ?? []).map((point) => point.name))];
    app.update();
  }
}

// The netlist is another now.
export function forget_harness(): void {
  job_id = "";
}

function answer(found: Expected): TemplateResult {
  if (found.errors && found.errors.length > 0)
    return html`<p class="bad">${found.errors.map((error) => error.message).join("; ")}</p>`;
  const shows = found.shows;
  const through = (found.through ?? []).filter((part) => part.share >= 0.01).slice(0, 6);
  return html`
    <p class="reading">${typeof shows === "string" ? shows : shows ? html`${shows.nominal} <small>${shows.low} to ${shows.high} on ${shows.range}</small>` : "nothing known"}</p>
    ${through.length > 0
      ? html`<p>Through ${through.map((part, i) => html`${i > 0 ? ", " : ""}${part.element} ${part.points.join(" to ")}: ${Math.round(part.share * 100)} %`)}.</p>`
      : nothing}`;
}

function probe_list(app: App, at: number, label: string): TemplateResult {
  return point_list(label, listed, chosen, at, (next) => {
    chosen = next;
    void app.doing(() => work_out(app));
  });
}

function control_list(app: App): TemplateResult[] {
  return (app.description?.controls ?? []).map((control) => {
    const places = control.places.length > 0 ? control.places : ["10", "7.5", "5", "2.5", "0"];
    if (!places.includes(control.rests)) places.push(control.rests);
    const now = String(setting[control.name] ?? control.rests);
    return html`
      <label>${control.name}
        <select @change=${(event: Event) => {
          setting = {...setting, [control.name]: (event.target as HTMLSelectElement).value};
          void app.doing(() => work_out(app));
        }}>${places.map((place) => html`<option value=${place} ?selected=${place === now}>${place}</option>`)}</select></label>`;
  });
}

function begin_form(app: App): TemplateResult {
  const about = [
    ...(app.description?.parts ?? []).filter((part) => part.kind === "pickup").map((part) => part.name),
    ...(app.description?.controls ?? []).map((control) => control.name),
  ];
  const start = (depth: "outside" | "full"): void => {
    void app.doing(async () => {
      await app.open_session(complaint === "" ? [] : [`${which} ${complaint}`.trim()], depth);
    });
  };
  return html`
    <section class="begin">
      <h2>Begin the work</h2>
      <div class="row">
        <label>What is complained of?
          <select id="complaint" @change=${(event: Event) => { complaint = (event.target as HTMLSelectElement).value; app.update(); }}>
            <option value="" ?selected=${complaint === ""}>nothing: check all of it</option>
            ${kComplaints.map(([word, words]) => html`<option value=${word} ?selected=${complaint === word}>${words}</option>`)}
          </select></label>
        <label>Of which part?
          <select id="which" @change=${(event: Event) => { which = (event.target as HTMLSelectElement).value; }}>
            <option value="">all, or not known</option>
            ${about.map((name) => html`<option value=${name} ?selected=${which === name}>${name}</option>`)}
          </select></label>
      </div>
      ${complaint === "shock" ? shock_banner() : nothing}
      <div class="row">
        <button type="button" class="main" id="begin-outside" ?disabled=${app.busy} @click=${() => start("outside")}>Begin with nothing opened</button>
        <button type="button" id="begin-full" ?disabled=${app.busy} @click=${() => start("full")}>All of it, cavity open</button>
      </div>
    </section>`;
}

export function harness_screen(app: App): TemplateResult {
  if (app.job && app.job.id !== job_id) void app.doing(() => begin(app));
  figure.onPoint = (point) => void tap(app, point);
  const [a, b] = chosen;
  return html`
    <h1 tabindex="-1">${app.description?.name || app.job?.harness}</h1>
    <p>${app.description?.about}</p>
    ${app.job?.record
      ? html`<p><button type="button" class="main" @click=${() => app.doing(() => app.open_session([], app.job?.depth ?? "full"))}>Go on with the work</button></p>`
      : begin_form(app)}
    <section>
      <h2>What should the meter show?</h2>
      <p>${a === undefined ? "Tap two points of the picture." : b === undefined ? html`From <b>${app.words_of(a)}</b> to …` : html`From <b>${app.words_of(a)}</b> to <b>${app.words_of(b)}</b>${words_of_setting(setting)}`}</p>
      <div role="status" class="answer">${expected ? answer(expected) : nothing}</div>
      ${figure.view(a !== undefined && b !== undefined ? "Yellow: the way the current takes. A black probe, a red one." : "The harness from behind, neck to the left.")}
      <div class="row">${probe_list(app, 0, "One probe")}${probe_list(app, 1, "The other")}${control_list(app)}</div>
    </section>
    <nav class="row" aria-label="More with this harness">
      <button type="button" @click=${() => app.go("edit")}>Change the harness</button>
      <button type="button" @click=${() => app.save_netlist()}>Save the netlist</button>
      <button type="button" @click=${() => app.doing(() => app.save_checklist("full"))}>Save the checklist to print</button>
    </nav>
    <details class="practice"><summary>Practise on it</summary>
      <p>The page makes an instrument with something wrong; you probe it, name the fault, and are marked.</p>
      <div class="row">${kLevels.map((words, i) => html`<button type="button" data-level=${i + 1} ?disabled=${app.busy} @click=${() => app.doing(() => make_practice(app, i + 1))}>${words}</button>`)}</div>
    </details>`;
}
