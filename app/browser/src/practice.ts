// An exercise: an instrument with something wrong, any probe, the fault named, and the mark. A page can't hide its key, so this
// is practice, not a test of anyone.
import {html, nothing, type TemplateResult} from "lit-html";
import {live} from "lit-html/directives/live.js";
import type {App} from "./app.js";
import type {Files, Setting} from "./engine.js";
import {Figure} from "./figure.js";
import {point_list} from "./points.js";

// What is kept of one in its job.
export interface Practice {
  level: number;
  files: Files; // the exercise, its key and the log
  marked: string; // the mark in words; empty before
}

const kExercise = "exercise/01.yaml";
const kLog = "exercise/01-log.yaml"; // as the program names it
const kKeys = "exercise-keys";

const figure = new Figure(true);
let job_id = "";
let opening = "";
let faults: string[] = [];
let chosen: string[] = [];
let setting: Setting = {};
let lifted = "";
let watched = ""; // what is done while the display is watched, as typed: "sweep volume", "wiggle volume.case"; empty: a reading
let range = ""; // of the meter; empty: the one that fits
let ranges: string[] = []; // that can be chosen
let claim = "";
let last = ""; // what the instrument or the page said last

// Throws where no exercise of that level can be made of the harness.
export async function make_practice(app: App, level: number): Promise<void> {
  const job = app.job;
  if (!job) return;
  const seed = crypto.getRandomValues(new Uint32Array(1))[0] ?? 1;
  const ran = await app.engine.run(["exercise", "make", job.harness, "--level", String(level), "--count", "1", "--seed", String(seed), "-o", "exercise"], job.files);
  if (ran.exit !== 0 || !ran.files) throw new Error(ran.err.trim() || "No exercise could be made.");
  const kept = Object.fromEntries(Object.entries(ran.files).filter(([name]) => name.startsWith("exercise")));
  await app.new_practice({level, files: kept, marked: ""});
}

// Lines typed at the exercise, and what was answered to each.
async function type_lines(app: App, lines: string[]): Promise<string[]> {
  const job = app.job;
  const practice = job?.practice;
  if (!job || !practice) return [];
  const ran = await app.engine.run(["exercise", "work", kExercise], {...job.files, ...practice.files}, lines.map((line) => `${line}\n`).join(""));
  if (ran.out === "") throw new Error(ran.err.trim() || "The exercise can't be worked on.");
  const log = ran.files?.[kLog];
  if (log !== undefined) {
    practice.files = {...practice.files, [kLog]: log};
    await app.keep_job();
  }
  const [first, ...answers] = ran.out.split(/^> ?/m);
  opening = (first ?? "").replace(/^Type two points[^]*/m, "");
  return answers.map((answer) => answer.split("\n").map((line) => line.trim()).filter((line) => line !== "" && !lines.includes(line)).join("\n"));
}

async function begin(app: App): Promise<void> {
  const job = app.job;
  if (!job) return;
  job_id = job.id;
  chosen = [];
  setting = {};
  lifted = watched = range = claim = last = "";
  await type_lines(app, []);
  const ran = await app.engine.run(["faults", job.harness, "--json"], job.files);
  const told = JSON.parse(ran.out) as {faults?: {say: string}[]; meter?: {ranges: number[]; auto: boolean}};
  faults = [...new Set(told.faults?.map((fault) => fault.say) ?? [])].sort();
  ranges = told.meter && !told.meter.auto ? told.meter.ranges.map(range_name) : [];
  figure.show(await app.draw([]));
  figure.choose([]);
}

// "200", "20k", "2M", as the meter's switch has it and the engine takes it.
function range_name(ohms: number): string {
  return ohms >= 1e6 ? `${ohms / 1e6}M` : ohms >= 1e3 ? `${ohms / 1e3}k` : String(ohms);
}

const set_words = (): string[] => Object.entries(setting).map(([control, place]) => `${control}=${place}`);

async function probe(app: App): Promise<void> {
  const [a, b] = chosen;
  if (a === undefined || b === undefined) return;
  const lines = [...(set_words().length > 0 ? [`set ${set_words().join(" ")}`] : []), ...(lifted ? [`lift ${lifted}`] : []),
    ...(range ? [`range ${range}`] : []), `${watched} ${a} ${b}`.trim()];
  const answers = await type_lines(app, lines);
  last = answers[lines.length - 1] ?? "";
  figure.show(await app.draw([...set_words().flatMap((word) => ["--set", word]), "--probes", a, b]));
  figure.choose([]);
}

async function name_fault(app: App): Promise<void> {
  if (claim.trim() === "") return;
  last = (await type_lines(app, [`is ${claim.trim()}`]))[0] ?? "";
}

async function mark(app: App): Promise<void> {
  const job = app.job;
  const practice = job?.practice;
  if (!job || !practice) return;
  const ran = await app.engine.run(["exercise", "mark", kLog, "--key", kKeys], {...job.files, ...practice.files});
  if (ran.out === "") throw new Error(ran.err.trim());
  practice.marked = ran.out.slice(Math.max(0, ran.out.indexOf("The class")));
  practice.marked = practice.marked.slice(Math.max(0, practice.marked.indexOf("\n\n"))).trim();
  await app.keep_job();
}

// What the log has: one line for each reading and each name.
function done_so_far(practice: Practice): string[] {
  const log = practice.files[kLog] ?? "";
  const given = Number(/^ {2}given: (\d+)/m.exec(log)?.[1] ?? 0);
  const readings = [...log.matchAll(/^ {2}- \{(.*between: \[([^\]]*)\].*)\}$/gm)].slice(given).map(([, all, points]) => {
    const value = (key: string): string => new RegExp(`${key}: (\\{[^}]*\\}|\\[[^\\]]*\\]|[^,}]*)`).exec(all ?? "")?.[1]?.replace(/[{}[\]]/g, "") ?? "";
    const doing = value("sweep") ? `; turning ${value("sweep")}` : value("wiggle") ? `; pressing ${value("wiggle")}` : "";
    return `${points?.replace(",", " and")}, with ${value("set")}${value("lifted") ? `; off: ${value("lifted")}` : ""}${doing}: ${value("reads")}`;
  });
  const claims = [.../^claims:\n((?: {2}- .*\n?)*)/m.exec(log)?.[1]?.matchAll(/^ {2}- "?(.*?)"?$/gm) ?? []].map(([, words]) => `Named: ${words}`);
  return [...readings, ...claims];
}

function probe_list(app: App, at: number, label: string): TemplateResult {
  return point_list(label, (app.description?.points ?? []).map(({name}) => name), chosen, at, (next) => {
    chosen = next;
    figure.choose(chosen);
    app.update();
  });
}

function controls(app: App): TemplateResult[] {
  return (app.description?.controls ?? []).map(({name, places, rests}) => {
    const all = places.length > 0 ? places : [...new Set(["10", "0", rests])];
    const now = String(setting[name] ?? rests);
    return html`<label>${name}<select @change=${(event: Event) => { setting = {...setting, [name]: (event.target as HTMLSelectElement).value}; app.update(); }}>
      ${all.map((place) => html`<option value=${place} ?selected=${place === now}>${place}</option>`)}</select></label>`;
  });
}

function one_of(label: string, id: string, now: string, choose: (value: string) => void, options: [string, string][], more: TemplateResult | typeof nothing = nothing): TemplateResult {
  return html`<label>${label}<select id=${id} @change=${(event: Event) => choose((event.target as HTMLSelectElement).value)}>
    ${options.map(([value, words]) => html`<option value=${value} ?selected=${value === now}>${words}</option>`)}${more}</select></label>`;
}

// What is done to the instrument while the display is watched, and the range it is watched on.
function watching(app: App): TemplateResult {
  const knobs = (app.description?.controls ?? []).filter(({kind}) => kind === "pot");
  const pressed = (app.description?.points ?? []).filter(({name}) => !name.includes(">"));
  const choose = (value: string): void => { watched = value; app.update(); };
  return html`
    ${one_of("Meanwhile", "watched", watched, choose, [["", "hold still"], ...knobs.map(({name}): [string, string] => [`sweep ${name}`, `turn ${name} from end to end`])],
      html`<optgroup label="press and move">${pressed.map(({name}) => html`<option value=${`wiggle ${name}`} ?selected=${watched === `wiggle ${name}`}>${name}</option>`)}</optgroup>`)}
    ${ranges.length === 0 ? nothing : one_of("Range", "range", range, (value) => { range = value; app.update(); }, [["", "the one that fits"], ...ranges.map((name): [string, string] => [name, name])])}`;
}

export function practice_screen(app: App): TemplateResult {
  const job = app.job;
  const practice = job?.practice;
  if (!job || !practice) return html`<h1 tabindex="-1">No exercise</h1>`;
  if (job.id !== job_id) void app.doing(() => begin(app));
  figure.onPoint = (point) => {
    chosen = chosen.length === 1 && chosen[0] !== point ? [chosen[0] ?? "", point] : [point];
    figure.choose(chosen);
    app.update();
    if (chosen.length === 2) void app.doing(() => probe(app));
  };
  const lifts = (app.description?.points ?? []).filter(({name}) => name.includes(">"));
  const entries = done_so_far(practice);
  return html`
    <h1 tabindex="-1">Exercise, level ${practice.level}</h1>
    <pre class="told">${opening.trim()}</pre>
    ${figure.view("Tap two points: the meter reads between them.")}
    <div class="row">${probe_list(app, 0, "One probe")}${probe_list(app, 1, "The other")}${controls(app)}
      <label>Lifted
        <select @change=${(event: Event) => { lifted = (event.target as HTMLSelectElement).value; app.update(); }}>
          <option value="" ?selected=${lifted === ""}>nothing</option>
          ${lifts.map(({name}) => html`<option value=${name} ?selected=${name === lifted}>${name}</option>`)}</select></label>
      ${watching(app)}
      <button type="button" class="main" id="main" ?disabled=${app.busy || chosen.length < 2} @click=${() => app.doing(() => probe(app))}>Measure</button></div>
    <div role="status" class="said">${last}</div>
    ${entries.length > 0 ? html`<h2>So far</h2><ol class="log">${entries.map((entry) => html`<li>${entry}</li>`)}</ol>` : nothing}
    <section><h2>What is wrong?</h2>
      <label>The fault<input id="claim" type="text" list="faults" autocapitalize="off" spellcheck="false" .value=${live(claim)}
        @input=${(event: Event) => { claim = (event.target as HTMLInputElement).value; }}></label>
      <datalist id="faults">${faults.map((fault) => html`<option value=${fault}></option>`)}</datalist>
      <div class="row"><button type="button" id="name" ?disabled=${app.busy} @click=${() => app.doing(() => name_fault(app))}>That is it</button>
        <button type="button" id="mark" ?disabled=${app.busy || entries.length === 0} @click=${() => app.doing(() => mark(app))}>Mark it</button></div>
    </section>
    <div role="status">${practice.marked ? html`<h2>Your mark</h2><pre class="told mark">${practice.marked}</pre>` : nothing}</div>`;
}
