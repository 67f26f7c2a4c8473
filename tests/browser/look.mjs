// Walks the page's main path with the native program as its engine and leaves a picture of each screen, to be looked at:
//   ENGINE=(a folder with any engine.js and engine.wasm) app/browser/build PAGE
//   node tests/browser/look.mjs LUGWISE PAGE FOLDER
// Not yet a test: it only counts requests and shows what the page says.
import {createRequire} from "node:module";
import {StandIn} from "./stand_in.mjs";
const require = createRequire(new URL("../../app/browser/package.json", import.meta.url));
const {chromium} = require("playwright-core");
const browser = await chromium.launch({executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"]});
const context = await browser.newContext({viewport: {width: 360, height: 740}, offline: true, acceptDownloads: true});
const program = new StandIn(process.argv[2]);
await program.install(context);
const page = await context.newPage();
const requests = [];
page.on("request", (r) => { if (!/^(file|blob|data):/.test(r.url())) requests.push(r.url()); });
page.on("pageerror", (e) => console.log("ERROR", e.message));
page.on("console", (m) => console.log("console", m.text()));
await page.goto(`file://${process.argv[3]}`);
await page.waitForSelector("html[data-ready]");
await page.screenshot({path: `${process.argv[4]}/s1.png`, fullPage: true});
await page.click('[data-harness="fernhollow-2.yaml"]');
await page.waitForSelector(".frame svg");
await page.screenshot({path: `${process.argv[4]}/s2.png`, fullPage: true});
await page.click("#begin-outside");
await page.waitForSelector("#main");
await page.click("#main");
await page.waitForSelector("#display");
await page.fill("#display", "0.3");
await page.click("#main");
for (let i = 0; i < 3; ++i) { await page.waitForSelector("#main:not([disabled])"); await page.waitForTimeout(300); await page.click("#main"); }
await page.waitForSelector("#display");
await page.waitForTimeout(800);
await page.screenshot({path: `${process.argv[4]}/s3.png`, fullPage: true});
for (const key of ["OL"]) await page.click(`button.key:text-is("${key}")`);
await page.click("#main");
await page.waitForTimeout(1500);
await page.screenshot({path: `${process.argv[4]}/s4.png`, fullPage: true});
await page.reload();
await page.waitForSelector("html[data-ready]");
console.log(await page.textContent(".job"));
console.log(requests.length, "requests");
program.close();
await browser.close();
