// The main path in Debian's Firefox: opened from a folder, a step read, what is kept, and no request.
import assert from "node:assert/strict";
import {existsSync} from "node:fs";
import {test} from "node:test";
import {pathToFileURL} from "node:url";
import {Instrument, page_file, require} from "./bench.mjs";

const kFirefox = "/usr/bin/firefox-esr";

test("in Firefox a harness is opened, the first steps are probed, and a reload goes on", {skip: existsSync(kFirefox) ? false : "firefox-esr is not installed"}, async () => {
  const puppeteer = require("puppeteer-core");
  const browser = await puppeteer.launch({browser: "firefox", executablePath: kFirefox, headless: true, args: ["-width=400", "-height=800"]});
  try {
    const page = await browser.newPage();
    const requests = [];
    const errors = [];
    page.on("request", (request) => { if (!/^(file|blob|data):/.test(request.url())) requests.push(request.url()); });
    page.on("pageerror", (error) => errors.push(error.message));
    await page.goto(pathToFileURL(page_file).href);
    const still = () => page.waitForSelector('html[data-ready][data-busy="no"]', {timeout: 120_000});
    const click = async (selector) => {
      await still();
      await page.waitForSelector(selector);
      await page.$eval(selector, (each) => each.click());
      await still();
    };
    const asked = async () => JSON.parse(await page.$eval("[data-ask]", (each) => each.dataset.ask));
    const instrument = await Instrument.make("fernhollow-1.yaml");
    await click('[data-harness="fernhollow-1.yaml"]');
    await page.waitForSelector(".frame svg");
    await click("#begin-full");
    let ask = await asked();
    let readings = 0;
    for (let i = 0; i < 30 && readings < 2; ++i) {
      if (ask.tips || (ask.between && ask.do === "read")) {
        readings += ask.tips ? 0 : 1;
        await page.focus("#display");
        await page.keyboard.type(ask.tips ? "0.3" : instrument.reads(ask));
      }
      await click("#main");
      ask = await asked();
    }
    assert.match(await page.$eval(".said", (each) => each.textContent), /^Agrees/);
    await page.reload();
    await click(".job .wide");
    await click("#main");
    assert.deepEqual((await asked()).between, ask.between);
    assert.deepEqual(requests, []);
    assert.deepEqual(errors, []);
  } finally {
    await browser.close();
  }
});
