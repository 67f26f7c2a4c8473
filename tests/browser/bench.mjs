// A browser with the page in it, from a file and with no network, and an instrument to probe; for the page's tests.
import assert from "node:assert/strict";
import {readFileSync} from "node:fs";
import {createRequire} from "node:module";
import {dirname, join} from "node:path";
import {fileURLToPath, pathToFileURL} from "node:url";

export const root = process.env.LUGWISE_ROOT ?? join(dirname(fileURLToPath(import.meta.url)), "../..");
export const page_file = process.env.LUGWISE_PAGE ?? join(root, ".build/browser/lugwise.html");
export const native = process.env.LUGWISE_PROGRAM ?? join(root, ".build/tests/lugwise");
export const require = createRequire(join(root, "app/browser/package.json"));
const {chromium} = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

export const worked = (name) => readFileSync(join(root, "harnesses", name), "utf8");

// The meter that is assumed, on one range or all.
const kMeter = "{counts: 2000, ranges: [RANGES], accuracy: 0.8% + 2, leads: 0.3, beeps-below: 40}\n";

// The engine itself, in Node: what a meter would show on a faulty instrument comes from it.
export class Instrument {
  static async make(harness, faults = []) {
    const engine = await require(process.env.LUGWISE_ENGINE ?? join(root, ".build/browser/engine_node.js"))();
    return new Instrument(engine, harness, faults);
  }
  constructor(engine, harness, faults) {
    Object.assign(this, {engine, harness, faults});
    this.files = {};
    this.add(harness);
  }
  // A netlist with the files that it takes parts from.
  add(name) {
    this.files[name] = worked(name);
    for (const [, file] of this.files[name].matchAll(/from:\s*([\w./-]+\.yaml)/g)) if (!this.files[file]) this.add(file);
  }
  ask(request) {
    return JSON.parse(this.engine.answer(JSON.stringify(request)));
  }
  run(...words) {
    return this.ask({do: "run", arguments: words, files: this.files});
  }
  // What stands on the display of a meter on the range that is asked for: "6.71k on 20k", "OL".
  reads({between, set, range}) {
    this.files["meter.yaml"] = kMeter.replace("RANGES", range ?? "200, 2k, 20k, 200k, 2M, 20M");
    const words = Object.entries(set ?? {}).flatMap(([control, place]) => ["--set", `${control}=${place}`]);
    const faults = this.faults.flatMap((fault) => ["--fault", fault]);
    const {readings, errors} = JSON.parse(this.run("simulate", this.harness, "--at", ...between, ...words, ...faults, "--meter", "meter.yaml", "--json").out);
    assert.ok(readings, JSON.stringify(errors));
    return `${readings[0].reads}${readings[0].range ? ` on ${readings[0].range}` : ""}`;
  }
  all_faults() {
    return JSON.parse(this.run("faults", this.harness, "--json").out).faults;
  }
}

export class Bench {
  static async open({width = 360, height = 740, before, ...more} = {}) {
    const browser = await chromium.launch({executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"]});
    const context = await browser.newContext({viewport: {width, height}, offline: true, acceptDownloads: true, reducedMotion: "reduce", ...more});
    const bench = new Bench();
    Object.assign(bench, {browser, context, requests: [], errors: []});
    // Whatever would leave the page, from it or from its worker.
    context.on("request", (request) => { if (!/^(file|blob|data):/.test(request.url())) bench.requests.push(request.url()); });
    if (before) await context.addInitScript(before);
    await bench.tab();
    return bench;
  }

  // One more tab with the page, as after the first was closed.
  async tab() {
    this.page = await this.context.newPage();
    this.page.setDefaultTimeout(120_000);
    this.page.on("pageerror", (error) => this.errors.push(error.message));
    this.page.on("console", (message) => { if (message.type() === "error") this.errors.push(message.text()); });
    await this.page.goto(pathToFileURL(page_file).href);
    await this.page.waitForSelector("html[data-ready]");
  }

  async close() {
    await this.browser.close();
    assert.deepEqual(this.requests, [], "no request leaves the page");
    assert.deepEqual(this.errors, [], "nothing is thrown, and nothing refused by the browser");
  }

  // Until nothing is under way.
  async still() {
    await this.page.waitForSelector('html[data-busy="no"]');
  }

  async click(selector) {
    await this.still();
    await this.page.click(selector);
    await this.still();
  }

  async take(name) {
    await this.click(`[data-harness="${name}"]`);
  }

  heading() {
    return this.page.textContent("h1");
  }

  said() {
    return this.page.textContent(".said");
  }

  // What the session asks for now.
  async asked() {
    await this.still();
    return JSON.parse(await this.page.getAttribute("main [data-ask]", "data-ask"));
  }

  async type(reading) {
    await this.page.fill("#display", reading);
    await this.click("#main");
  }

  // Works on until `done(ask)`; gives the last ask.
  async work(instrument, done = (ask) => ask.kind === "verdict" || ask.kind === "finished", most = 60) {
    for (let i = 0; i < most; ++i) {
      const ask = await this.asked();
      if (done(ask)) return ask;
      if (ask.tips) await this.type("0.3");
      else if (ask.between && ["read", "prepare"].includes(ask.do)) await this.type(instrument.reads(ask));
      else await this.click("#main");
    }
    return assert.fail("the work does not end");
  }

  // Findings of axe-core, none of which may be there.
  async look_for_barriers(what) {
    await this.page.evaluate(axe);
    const found = await this.page.evaluate(() => globalThis.axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}));
    const told = found.violations.map(({id, nodes}) => `${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`);
    assert.deepEqual(told, [], what);
  }

  // Nothing to touch is smaller than 44 pixels either way, and the page is no wider than the screen.
  async look_for_small_targets(what) {
    const small = await this.page.evaluate(() =>
      [...document.querySelectorAll("button, select, summary, input:not([type=checkbox]):not([type=file]), label.button, a")]
        .filter((each) => each.checkVisibility())
        .map((each) => [each, each.getBoundingClientRect()])
        .filter(([, box]) => box.width > 0 && (box.width < 43.5 || box.height < 43.5))
        .map(([each, box]) => `${each.outerHTML.slice(0, 80)}: ${Math.round(box.width)} x ${Math.round(box.height)}`));
    assert.deepEqual(small, [], what);
    const over = await this.page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(over <= 0, `${what}: ${over} pixels too wide`);
  }

  // With LUGWISE_PICTURES a folder, each screen is left there to be looked at.
  async picture(name) {
    if (process.env.LUGWISE_PICTURES) await this.page.screenshot({path: join(process.env.LUGWISE_PICTURES, `${name}.png`), fullPage: true});
  }
}
