// The native program in the place of the page's engine, for a page made without one: the same questions, answered by
// `lugwise` and by one `guide --json` at a time. Installed into a Playwright page in front of its own scripts.
import {execFileSync, spawn} from "node:child_process";
import {mkdtempSync, mkdirSync, readFileSync, writeFileSync, existsSync} from "node:fs";
import {tmpdir} from "node:os";
import {dirname, join} from "node:path";
import {createInterface} from "node:readline";

export class StandIn {
  constructor(program) {
    this.program = program;
    this.guide = null;
  }

  folder(files) {
    const folder = mkdtempSync(join(tmpdir(), "lugwise-"));
    for (const [name, text] of Object.entries(files)) {
      mkdirSync(dirname(join(folder, name)), {recursive: true});
      writeFileSync(join(folder, name), text);
    }
    return folder;
  }

  run(words, folder) {
    try {
      return {exit: 0, out: execFileSync(this.program, words, {cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"], maxBuffer: 1e8}), err: ""};
    } catch (error) {
      return {exit: error.status, out: error.stdout, err: error.stderr};
    }
  }

  describe({files, harness}) {
    const folder = this.folder(files);
    const {out} = this.run(["draw", harness, "--json"], folder);
    const {svg, harness: head} = JSON.parse(out);
    const points = [...new Set([...svg.matchAll(/data-(?:point|lead)="([^"]*)"/g)].map((found) => found[1].replaceAll("&gt;", ">")))];
    const parts = [...svg.matchAll(/data-part="([^"]*)" data-kind="([^"]*)"/g)].map(([, name, kind]) => ({name, kind}));
    const {set = {}} = JSON.parse(this.run(["expect", harness, points[0], points[1], "--json"], folder).out);
    const controls = Object.entries(set).map(([name, rests]) => {
      const said = JSON.parse(this.run(["expect", harness, points[0], points[1], "--set", `${name}=?`, "--json"], folder).out);
      const note = said.errors?.[0]?.notes?.[0]?.message ?? "";
      const places = typeof rests === "number" ? [] : note.startsWith("its positions are ") ? note.slice(18).split(", ") : ["in", "out"];
      return {name, kind: "", places, rests: String(rests)};
    });
    return {exit: 0, name: head.name, about: "", parts, wires: [], controls, points: points.map((name) => ({name, words: name}))};
  }

  async line(text) {
    const next = this.lines.next();
    if (text !== null) this.guide.stdin.write(`${text}\n`);
    const {value} = await next;
    const session = JSON.parse(value);
    return {exit: 0, err: "", session, record: existsSync(this.record) ? readFileSync(this.record, "utf8") : ""};
  }

  async open({files, harness, record, heard, depth}) {
    this.close();
    const folder = this.folder(files);
    const name = record || `${harness.replace(/\.ya?ml$/, "")}.readings.yaml`;
    this.record = join(folder, name);
    const words = ["guide", harness, ...(record ? ["--resume", name] : ["-o", name]), "--depth", depth, "--json"];
    this.guide = spawn(this.program, words, {cwd: folder, stdio: ["pipe", "pipe", "inherit"]});
    this.lines = createInterface({input: this.guide.stdout})[Symbol.asyncIterator]();
    let answer = await this.line(null);
    for (const words of heard) answer = await this.line(`heard ${words}`);
    return answer;
  }

  close() {
    this.guide?.stdin.end();
    this.guide = null;
  }

  async answer(text) {
    const request = JSON.parse(text);
    const {do: what} = request;
    if (what === "run") return JSON.stringify(this.run(request.arguments, this.folder(request.files)));
    if (what === "describe") return JSON.stringify(this.describe(request));
    if (what === "open") return JSON.stringify(await this.open(request));
    return JSON.stringify(await this.line(request.line));
  }

  async install(context) {
    await context.exposeFunction("lugwiseAnswer", (text) => this.answer(text));
    await context.addInitScript(() => {
      globalThis.Worker = class {
        async postMessage(message) {
          if ("program" in message) return;
          this.onmessage({data: {id: message.id, text: await globalThis.lugwiseAnswer(message.text)}});
        }
        terminate() {}
      };
    });
  }
}
