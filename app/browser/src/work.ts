// The work: one step at a time, the reading, what it says, and what comes next.
import {html, nothing, type TemplateResult} from "lit-html";
import {outcome, type App} from "./app.js";
import type {Ask, SessionState, Suspect} from "./engine.js";
import {Figure} from "./figure.js";
import {keypad, pressed} from "./keypad.js";
import {cover_in_words, shock_banner} from "./wording.js";

const figure = new Figure();
let drawn_for = "";
let display = "";
let range = ""; // another than the one asked for
let words = ""; // of a remark, of why a step is skipped
let swept = ""; // how a sweep went

// One line to the session; what was typed stays where it was refused.
function send(app: App, line: string): void {
  void app.doing(async () => {
    await app.say(line);
    if (app.session?.problem) return;
    display = range = swept = "";
  });
}

function number_of(range_words: string): string {
  return range_words === "" ? "" : ` on ${range_words}`;
}

export function range_in_words(ohms: number): string {
  if (ohms >= 1e6) return `${ohms / 1e6}M`;
  return ohms >= 1e3 ? `${ohms / 1e3}k` : String(ohms);
}

async function draw(app: App, session: SessionState): Promise<void> {
  const {ask} = session;
  const suspects = session.suspects.length > 0 && (ask.kind === "verdict" || ask.kind === "finished");
  let options: string[] = [];
  if (ask.between) {
    options = Object.entries(ask.set ?? {}).flatMap(([control, place]) => ["--set", `${control}=${place}`]);
    options.push("--probes", ...ask.between);
  }
  const job = app.job;
  if (!job) return;
  const files = suspects ? {...job.files, [job.recordName]: job.record} : job.files;
  if (suspects) options = ["--readings", job.recordName];
  figure.show(await app.draw(options, files));
}

function title_of(ask: Ask): string {
  switch (ask.kind) {
    case "begin": return "Before you begin";
    case "prepare": return "First";
    case "step": return `Step ${ask.step ?? ""}`;
    case "probe": return "Next probe";
    case "again": return "Once more";
    case "recheck": return "After the repair";
    case "verdict": return "Verdict";
    default: return "All is probed";
  }
}

function suspect_line(app: App, suspect: Suspect): TemplateResult {
  const points = suspect.fault.points.join(" ");
  return html`
    <li><b>${Math.round(suspect.probability * 100)} %</b> ${suspect.say}
      ${suspect.mend ? html`<br><small>To mend: ${suspect.mend}</small>` : nothing}
      <br><button type="button" ?disabled=${app.busy} @click=${() => send(app, `repaired ${points}`)}>Repaired</button></li>`;
}

function suspects(app: App, session: SessionState): TemplateResult {
  const likely = session.suspects.filter((suspect) => suspect.probability >= 0.01).slice(0, 5);
  if (likely.length === 0) return html``;
  return html`
    <section><h2>Suspects</h2>
      <ol class="plain suspects">${likely.map((suspect) => suspect_line(app, suspect))}</ol>
    </section>`;
}

function reply(session: SessionState): TemplateResult {
  const kind = session.problem ? "refused" : session.reading ? (session.reading.agrees ? "agrees" : "wrong") : "plain";
  return html`<div role="status" class="said ${kind}">${outcome(session)}</div>`;
}

function where(app: App, ask: Ask): TemplateResult {
  const set = Object.entries(ask.set ?? {}).map(([control, place]) => `${control} ${place}`).join(", ");
  const [a, b] = ask.between ?? ["", ""];
  return html`
    <dl class="step">
      ${ask.cover ? html`<div><dt>Where</dt><dd>${cover_in_words(ask.cover)}</dd></div>` : nothing}
      ${set ? html`<div><dt>Set</dt><dd>${set}</dd></div>` : nothing}
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
  if (ask.do === "sweep" && swept === "")
    return html`<div class="row two">${main("smooth", "smooth")}<button type="button" @click=${() => send(app, "jumps")}>jumps</button></div>`;
  return html`
    ${session.meter.auto || ask.tips ? nothing : html`
      <label>The meter stands on
        <select @change=${(event: Event) => { range = (event.target as HTMLSelectElement).value; }}>
          <option value="" ?selected=${range === ""}>${ask.range ?? "the range asked for"}</option>
          ${session.meter.ranges.map(range_in_words).filter((name) => name !== ask.range)
            .map((name) => html`<option value=${name} ?selected=${range === name}>${name}</option>`)}
        </select></label>`}
    ${keypad({
      label: "The meter shows",
      display,
      comma: app.likes.comma,
      busy: app.busy,
      take: "Take",
      press: (key) => { display = pressed(display, key, app.likes.comma); app.update(); },
      type: (text) => { display = text; },
      send: () => send(app, display + number_of(range)),
    })}`;
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
    <h1 tabindex="-1">${title_of(ask)}</h1>
    ${reply(session)}
    ${shocked ? shock_banner() : nothing}
    ${ask.kind === "prepare" ? html`<p class="large">${ask.say}</p>` : ask.between ? where(app, ask) : nothing}
    ${ask.kind === "begin" || ask.kind === "prepare" ? nothing : figure.view(ask.between ? "A black probe, a red one; yellow: the way the current takes." : "The harness from behind, neck to the left.")}
    <div data-ask=${JSON.stringify(ask)}>${entry(app, session)}</div>
    ${suspects(app, session)}
    ${more(app)}
    <p class="row">
      ${app.unsaved() ? html`<span class="reminder">The record is not saved as a file yet.</span>` : nothing}
      <button type="button" id="save" @click=${() => app.doing(() => app.save_record())}>Save the record</button>
    </p>`;
}
