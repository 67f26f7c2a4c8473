// The work: one step at a time, the reading, what it says, and what comes next.
import {html, nothing, type TemplateResult} from "lit-html";
import {outcome, type App} from "./app.js";
import type {Ask, SessionState, Setting, Suspect} from "./engine.js";
import {Figure} from "./figure.js";
import {keypad, pressed} from "./keypad.js";
import {cover_in_words, shock_banner} from "./wording.js";

const figure = new Figure();
let drawn_for = "";
let display = "";
let range = ""; // another than the one asked for
let words = ""; // of a remark, of why a step is skipped

// One line to the session; what was typed stays where it was refused.
function send(app: App, line: string): void {
  void app.doing(async () => {
    await app.say(line);
    if (app.session?.problem) return;
    display = range = "";
  });
}

function number_of(range_words: string): string {
  return range_words === "" ? "" : ` on ${range_words}`;
}

export function range_in_words(ohms: number): string {
  if (ohms >= 1e6) return `${ohms / 1e6}M`;
  return ohms >= 1e3 ? `${ohms / 1e3}k` : String(ohms);
}

// Whether some reading was not as it should be.
function in_trouble({verdict, ask}: SessionState): boolean {
  return verdict === "fault" || verdict === "unsure" || (verdict !== "sound" && ["probe", "again", "verdict"].includes(ask.kind));
}

// Where the probes go and which way the current takes; once something is wrong, with the suspects.
async function draw(app: App, session: SessionState): Promise<void> {
  const {ask} = session;
  const job = app.job;
  if (!job) return;
  const options: string[] = [];
  if (ask.between) {
    for (const [control, place] of Object.entries(ask.set ?? {})) options.push("--set", `${control}=${place}`);
    options.push("--probes", ...ask.between);
  }
  if (in_trouble(session)) options.push("--readings", job.recordName);
  figure.show(await app.draw(options, {...job.files, [job.recordName]: job.record}));
}

function title_of({ask, verdict}: SessionState): string {
  switch (ask.kind) {
    case "begin": return "Before you begin";
    case "prepare": return "First";
    case "step": return `Step ${ask.step ?? ""}`;
    case "probe": return "Next probe";
    case "again": return "Once more";
    case "recheck": return "After the repair";
    case "verdict": return "Verdict";
    default: return verdict === "sound" ? "Sound" : "All is probed";
  }
}

function suspect_line(app: App, suspect: Suspect): TemplateResult {
  const points = suspect.fault.points.join(" ");
  return html`
    <li data-fault=${suspect.fault.id}>
      <span><b>${Math.round(suspect.probability * 100)} %</b> ${suspect.say}
        ${suspect.mend ? html`<br><small>To mend: ${suspect.mend}</small>` : nothing}</span>
      <button type="button" aria-label=${`Repaired: ${suspect.say}`} ?disabled=${app.busy} @click=${() => send(app, `repaired ${points}`)}>Repaired</button></li>`;
}

// The picture numbers the first of them in the same order.
function suspects(app: App, session: SessionState): TemplateResult {
  const likely = session.suspects.filter((suspect) => suspect.probability >= 0.01).slice(0, 5);
  if (likely.length === 0 || !in_trouble(session)) return html``;
  return html`
    <section><h2>Suspects</h2>
      <ol class="suspects">${likely.map((suspect) => suspect_line(app, suspect))}</ol>
    </section>`;
}

function reply(session: SessionState): TemplateResult {
  const kind = session.problem ? "refused" : session.reading ? (session.reading.agrees ? "agrees" : "wrong") : "plain";
  return html`<div role="status" class="said ${kind}">${outcome(session)}</div>`;
}

// What is to be set, and what stands so already.
function settings(ask: Ask, before: Setting): TemplateResult {
  const entries = Object.entries(ask.set ?? {});
  const say = (list: [string, number | string][]): string => list.map(([control, place]) => `${control} ${place}`).join(", ");
  const set = entries.filter(([control, place]) => before[control] !== place);
  const left = entries.filter(([control, place]) => before[control] === place);
  if (entries.length === 0) return html``;
  return html`<div><dt>Set</dt><dd>${set.length > 0 ? html`<b>${say(set)}</b>` : nothing}${set.length > 0 && left.length > 0 ? "; " : nothing}${left.length > 0 ? html`leave ${say(left)}` : nothing}</dd></div>`;
}

function where(app: App, session: SessionState): TemplateResult {
  const {ask} = session;
  const [a, b] = ask.between ?? ["", ""];
  return html`
    <dl class="step">
      ${ask.cover ? html`<div><dt>Where</dt><dd>${cover_in_words(ask.cover)}</dd></div>` : nothing}
      ${settings(ask, session.reading?.set ?? {})}
      ${ask.lifted && ask.lifted.length > 0 ? html`<div><dt>Off</dt><dd>${ask.lifted.map((point) => app.words_of(point)).join(", ")}</dd></div>` : nothing}
      ${ask.work ? html`<div><dt>Work</dt><dd>${ask.work} a dozen times first</dd></div>` : nothing}
      ${ask.cable ? html`<div><dt>Cable</dt><dd>another test cable</dd></div>` : nothing}
      <div><dt>Probes</dt><dd>${app.words_of(a)}<br>and ${app.words_of(b)}</dd></div>
      ${ask.sweep ? html`<div><dt>Turn</dt><dd>${ask.sweep} slowly from end to end, and watch</dd></div>` : nothing}
      ${ask.wiggle ? html`<div><dt>Wiggle</dt><dd>press and move ${ask.wiggle.join(", ")}, and watch</dd></div>` : nothing}
      ${ask.range ? html`<div><dt>Range</dt><dd>${ask.range}</dd></div>` : nothing}
    </dl>
    ${(ask.notes ?? []).map((note) => html`<p class="note">${note}</p>`)}`;
}

function entry(app: App, session: SessionState): TemplateResult {
  const {ask} = session;
  const main = (face: string, line: string): TemplateResult =>
    html`<button type="button" class="main wide" id="main" ?disabled=${app.busy} @click=${() => send(app, line)}>${face}</button>`;
  if (ask.kind === "begin") return html`<ul>${session.before.map((caution) => html`<li>${caution}</li>`)}</ul>${main("I have read this: begin", "")}`;
  if (ask.kind === "prepare" && !ask.tips) return main("Done", "done");
  if (ask.kind === "verdict") return html`<p class="large">${session.advice}</p><button type="button" ?disabled=${app.busy} @click=${() => send(app, "more")}>One more probe</button>`;
  if (ask.kind === "finished") return html`<p class="large">${session.verdict === "sound" ? "The harness is sound, as far as the plan can show." : session.advice || "No further probe is worth while."}</p>`;
  if (ask.do === "wiggle") return html`<div class="row two">${main("steady", "steady")}<button type="button" @click=${() => send(app, "unstable")}>unstable</button></div>`;
  if (ask.do === "sweep")
    return html`<div class="row two">${main("smooth", "smooth")}<button type="button" @click=${() => send(app, "jumps")}>jumps</button></div>`;
  return keypad({
    label: "The meter shows",
    display,
    comma: app.likes.comma,
    busy: app.busy,
    take: "Take",
    press: (key) => { display = pressed(display, key, app.likes.comma); app.update(); },
    type: (text) => { display = text; },
    send: () => send(app, display + number_of(range)),
    beside: session.meter.auto || ask.tips ? nothing : html`
      <label class="range">on
        <select @change=${(event: Event) => { range = (event.target as HTMLSelectElement).value; }}>
          <option value="" ?selected=${range === ""}>${ask.range ?? "its range"}</option>
          ${session.meter.ranges.map(range_in_words).filter((name) => name !== ask.range)
            .map((name) => html`<option value=${name} ?selected=${range === name}>${name}</option>`)}
        </select></label>`,
  });
}

function more(app: App): TemplateResult {
  const act = (face: string, line: () => string): TemplateResult =>
    html`<button type="button" ?disabled=${app.busy} @click=${() => { send(app, line()); words = ""; }}>${face}</button>`;
  return html`
    <div class="row actions">${act("Undo", () => "undo")}${act("Skip", () => `skip ${words}`.trim())}${act("Again", () => "again")}</div>
    <details><summary>A remark, or another word of the guide</summary>
      <label>Words<input type="text" .value=${words} @input=${(event: Event) => { words = (event.target as HTMLInputElement).value; }}></label>
      <div class="row">${act("Note it", () => `note ${words}`)}${act("It was heard", () => `heard ${words}`)}${act("Repaired there", () => `repaired ${words}`)}${act("As typed", () => words)}</div>
    </details>`;
}

export function work_screen(app: App): TemplateResult {
  const session = app.session;
  if (!session) return html`<h1 tabindex="-1">Nothing is being worked on</h1>`;
  const {ask} = session;
  const key = JSON.stringify([ask.kind, ask.set, ask.between, ask.kind === "verdict" ? app.job?.record : ""]);
  if (key !== drawn_for) {
    drawn_for = key;
    void draw(app, session).catch((error: unknown) => app.fail(error));
  }
  const shocked = /is: shock/.test(app.job?.record ?? "");
  return html`
    <h1 tabindex="-1">${title_of(session)}</h1>
    ${reply(session)}
    ${shocked ? shock_banner() : nothing}
    <div class="work">
      <div class="step-side">
        ${ask.kind === "prepare" ? html`<p class="large">${ask.say}</p>` : ask.between ? where(app, session) : nothing}
        ${ask.kind === "begin" || ask.kind === "prepare" ? nothing : figure.view(ask.between ? "A black probe, a red one; yellow: the way the current takes." : "The harness from behind, neck to the left.")}
      </div>
      <div class="entry" data-ask=${JSON.stringify(ask)}>${entry(app, session)}</div>
      <div class="after">
        ${suspects(app, session)}
        ${more(app)}
        <p class="row">
          ${app.unsaved() ? html`<span class="reminder">The record is not saved as a file yet.</span>` : nothing}
          <button type="button" id="save" @click=${() => app.doing(() => app.save_record())}>Save the record</button>
          <button type="button" @click=${() => app.doing(() => app.save_report())}>Save a report to print</button>
        </p>
      </div>
    </div>`;
}
