// What the page knows and does; the screens show it and call it.
import {Engine, unpacked, type Description, type Files, type Opened, type Problem, type SessionState} from "./engine.js";
import {harness_named_in, is_record, save_file} from "./file.js";
import {keep_preferences, preferences, type Preferences} from "./preferences.js";
import type {Practice} from "./practice.js";
import {Store, type Job} from "./store.js";
import {hush, say} from "./voice.js";

export type ScreenName = "start" | "harness" | "work" | "edit" | "practice";

// What a fault of our own or of the storage is told with, above everything else.
export interface Notice {
  text: string;
  bad: boolean;
}

export interface Errors {
  errors: Problem[];
  warnings: Problem[];
}

export const base_name = (name: string): string => name.replace(/\.ya?ml$/i, "");

export class App {
  screen: ScreenName = "start";
  jobs: Job[] = [];
  job: Job | null = null;
  description: Description | null = null;
  session: SessionState | null = null;
  refused: Errors | null = null; // why the netlist can't be worked with
  notice: Notice | null = null;
  said = ""; // what became of the last entry, for who hears the page
  busy = false;
  worked: Files = {};
  likes: Preferences = preferences();
  private pending: string | null = null; // a line that is taken but not kept yet
  private constructor(readonly engine: Engine, readonly store: Store, readonly update: () => void) {}

  static async begin(update: () => void): Promise<App> {
    const engine = await Engine.load();
    const app = new App(engine, await Store.open(), update);
    app.worked = JSON.parse(await unpacked("worked")) as Files;
    await app.list();
    return app;
  }

  async list(): Promise<void> {
    this.jobs = await this.store.all();
    this.update();
  }

  go(screen: ScreenName): void {
    hush();
    this.screen = screen;
    this.said = "";
    if (location.hash !== `#${screen}`) location.hash = screen;
    this.update();
    window.scrollTo(0, 0);
    // The screen's heading, so that a reader begins there.
    requestAnimationFrame(() => document.querySelector<HTMLElement>("h1")?.focus());
  }

  like(change: Partial<Preferences>): void {
    this.likes = {...this.likes, ...change};
    keep_preferences(this.likes);
    this.update();
  }

  fail(error: unknown): void {
    this.notice = {text: error instanceof Error ? error.message : String(error), bad: true};
    this.busy = false;
    this.update();
  }

  // Runs one thing at a time; whatever goes wrong is told.
  async doing(what: () => Promise<void>): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    this.notice = null;
    this.update();
    try {
      await what();
    } catch (error) {
      this.fail(error);
    }
    this.busy = false;
    this.update();
  }

  // Jobs ---------------------------------------------------------------------------------------------------------------

  // What was chosen together: a netlist with what it includes, a record, or both. Throws where it is neither.
  async take_files(files: Files): Promise<void> {
    const names = Object.keys(files);
    const record = names.find((name) => is_record(files[name] ?? ""));
    const netlists = names.filter((name) => name !== record);
    const main = netlists.find((name) => /^lugwise\s*:/m.test(files[name] ?? "")) ?? netlists[0];
    if (record === undefined) {
      if (main === undefined) throw new Error("No file was chosen.");
      await this.new_job(main, Object.fromEntries(netlists.map((name) => [name, files[name] ?? ""])));
      return;
    }
    const named = harness_named_in(files[record] ?? "");
    const kept = this.jobs.find((job) => job.harness === named);
    const beside: Files = main !== undefined
      ? Object.fromEntries(netlists.map((name) => [name, files[name] ?? ""]))
      : kept ? kept.files
      : this.worked[named] !== undefined ? {...this.worked} : {};
    const harness = main ?? named;
    if (beside[harness] === undefined)
      throw new Error(`${record} is a record of ${named || "a netlist it does not name"}: choose that netlist together with it.`);
    await this.new_job(harness, beside, files[record] ?? "", record);
  }

  async new_job(harness: string, files: Files, record = "", record_name = ""): Promise<void> {
    const job: Job = {
      id: crypto.randomUUID(),
      harness,
      files,
      recordName: record_name || `${base_name(harness)}.readings.yaml`,
      record,
      depth: "outside",
      changed: Date.now(),
      saved: record,
    };
    await this.keep(job);
    await this.open_job(job, record !== "");
  }

  // An exercise on the harness that is open, as a job of its own.
  async new_practice(practice: Practice): Promise<void> {
    if (!this.job) return;
    const job: Job = {...this.job, id: crypto.randomUUID(), record: "", saved: "", practice};
    await this.keep(job);
    await this.open_job(job);
  }

  async open_job(job: Job, work = job.record !== ""): Promise<void> {
    this.job = job;
    this.session = null;
    await this.describe();
    if (this.refused) this.go("edit");
    else if (job.practice) this.go("practice");
    else if (work) await this.open_session([], job.depth);
    else this.go("harness");
  }

  async remove_job(job: Job): Promise<void> {
    await this.store.remove(job.id);
    await this.list();
  }

  // What the netlist has, or why it can't be read.
  async describe(): Promise<void> {
    const job = this.job;
    if (!job) return;
    const ran = await this.engine.run(["check", job.harness, "--json"], job.files);
    const answer = JSON.parse(ran.out) as Partial<Errors>;
    this.refused = answer.errors && answer.errors.length > 0
      ? {errors: answer.errors, warnings: answer.warnings ?? []}
      : null;
    this.description = this.refused
      ? null
      : await this.engine.ask<Description>({do: "describe", files: job.files, harness: job.harness});
  }

  // Kept in the browser before anything else is shown. Throws where it can't be.
  private async keep(job: Job): Promise<void> {
    job.changed = Date.now();
    await this.store.put(job);
    this.jobs = [job, ...this.jobs.filter((other) => other.id !== job.id)];
  }

  async keep_job(): Promise<void> {
    if (this.job) await this.keep(this.job);
  }

  // The guided session ---------------------------------------------------------------------------------------------------

  async open_session(heard: string[], depth: "outside" | "full"): Promise<void> {
    const job = this.job;
    if (!job) return;
    const opened = await this.engine.ask<Opened>({
      do: "open",
      files: job.record === "" ? job.files : {...job.files, [job.recordName]: job.record},
      harness: job.harness,
      record: job.record === "" ? "" : job.recordName,
      heard,
      depth,
      meter: "",
    });
    if (!opened.session || opened.session.errors?.length) {
      const errors = opened.session?.errors ?? [];
      throw new Error(errors.map((error) => error.message).join("; ") || opened.err || "The session can't be begun.");
    }
    this.session = opened.session;
    job.depth = depth;
    if (heard.length > 0) await this.keep_record(opened.record);
    if (this.screen !== "work") this.go("work");
    this.tell();
  }

  // One line as at the guide's prompt. It counts once it is kept.
  async say(line: string): Promise<void> {
    if (this.pending !== null) {
      await this.keep_record(this.pending);
    }
    const answer = await this.engine.ask<Opened>({do: "say", line});
    if (!answer.session) throw new Error(answer.err || "The engine gave no answer.");
    await this.keep_record(answer.record);
    this.session = answer.session;
    this.tell();
  }

  private async keep_record(record: string): Promise<void> {
    const job = this.job;
    if (!job) return;
    const before = job.record;
    if (record === before) {
      this.pending = null;
      return;
    }
    job.record = record;
    try {
      await this.keep(job);
      this.pending = null;
    } catch (error) {
      this.pending = record;
      const why = error instanceof Error ? error.message : String(error);
      throw new Error(`NOT KEPT: ${why}. The last entry is in memory only: save the file, or free some space and go on.`);
    }
  }

  unsaved(): boolean {
    return this.job !== null && this.job.record !== "" && this.job.record !== this.job.saved;
  }

  async save_record(): Promise<void> {
    const job = this.job;
    if (!job || job.record === "") return;
    save_file(job.recordName, job.record);
    job.saved = job.record;
    await this.keep(job);
    this.update();
  }

  // The checklist, or what was found, as a page of its own for paper.
  async save_checklist(depth: "outside" | "full"): Promise<void> {
    if (this.job) await this.save_page(["plan", this.job.harness, "--depth", depth, "--html"], "checklist");
  }

  async save_report(): Promise<void> {
    if (this.job) await this.save_page(["diagnose", this.job.harness, this.job.recordName, "--html"], "report");
  }

  private async save_page(words: string[], what: string): Promise<void> {
    const job = this.job;
    if (!job) return;
    const ran = await this.engine.run(words, {...job.files, [job.recordName]: job.record});
    if (ran.out === "") throw new Error(ran.err);
    save_file(`${base_name(job.harness)}.${what}.html`, ran.out, "text/html");
  }

  save_netlist(): void {
    if (this.job) save_file(this.job.harness, this.job.files[this.job.harness] ?? "");
  }

  // For who can't look.
  private tell(): void {
    if (!this.session) return;
    this.said = outcome(this.session);
    if (this.likes.voice) say(`${this.said} ${this.spoken_step()}`);
  }

  private spoken_step(): string {
    const ask = this.session?.ask;
    if (!ask) return "";
    const between = ask.between?.map((name) => this.words_of(name)).join(", and ") ?? "";
    return between ? `Probes on ${between}.` : (ask.say ?? "");
  }

  words_of(point: string): string {
    return this.description?.points.find((place) => place.name === point)?.words ?? point;
  }

  // The picture -----------------------------------------------------------------------------------------------------------

  async draw(options: string[], files?: Files): Promise<string> {
    const job = this.job;
    if (!job) return "";
    const ran = await this.engine.run(["draw", job.harness, ...options], files ?? job.files);
    return ran.exit === 0 ? ran.out : "";
  }
}

// What became of a line, in a sentence.
export function outcome(session: SessionState): string {
  if (session.problem) return `Not taken: ${session.problem}.${session.hint ? ` ${session.hint}` : ""}`;
  if (session.reading) {
    const {agrees, reads, say: sound} = session.reading;
    return `${agrees ? "Agrees" : "Wrong"}: ${reads}; a sound harness shows ${sound}.`;
  }
  const words: Record<string, string> = {
    skipped: "Skipped.", undone: "Taken back.", noted: "Noted.", heard: "Noted.", done: "Done.", repaired: "Repaired: now it is probed again.",
    moved: "Another step.", range: "Another range.", meter: "Another meter.",
  };
  return words[session.reply] ?? "";
}
