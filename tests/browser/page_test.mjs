// The page as a technician has it: opened from a folder, with no network, in Debian's Chromium.
import assert from "node:assert/strict";
import {spawnSync} from "node:child_process";
import {mkdtempSync, writeFileSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {test} from "node:test";
import {Bench, Instrument, native, worked} from "./bench.mjs";

const kFernhollow2 = "fernhollow-2.yaml";

const place_of = ({kind, set, between}) => JSON.stringify([kind, set, between]);
const asks_to_probe = (ask) => ask.between !== undefined;
const read_kind = (ask) => ask.kind === "step" && ask.do === "read";

test("a sound harness is probed to the end, and the page says it is sound", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make("fernhollow-1.yaml");
  await bench.take("fernhollow-1.yaml");
  await bench.click("#begin-full");
  assert.equal((await bench.work(instrument)).kind, "finished");
  assert.match(await bench.page.textContent("main"), /The harness is sound/);
  await bench.close();
});

test("of ten hidden faults each is among the suspects at the end, and none is called sound", async () => {
  const bench = await Bench.open();
  const kMeant = new Set(["joint", "wire", "contact", "blob", "coil", "lugs"]);
  for (const [name, count] of [["fernhollow-1.yaml", 3], [kFernhollow2, 4], ["fernhollow-10.yaml", 3]]) {
    const sound = await Instrument.make(name);
    // Opens and shorts that the plan through the plug can see, spread over the list.
    const all = sound.all_faults().filter(({fault, reading}) => ["open", "short"].includes(fault.mode) && kMeant.has(fault.element) && reading);
    for (let i = 0; i < count; ++i) {
      const {fault} = all[Math.floor(((i + 0.5) * all.length) / count)];
      const instrument = new Instrument(sound.engine, name, [fault.id]);
      await bench.take(name);
      await bench.click("#begin-full");
      await bench.work(instrument);
      const told = await bench.page.$$eval(".suspects [data-fault]", (found) => found.map((each) => each.getAttribute("data-fault")));
      assert.ok(told.includes(fault.id), `${name}: ${fault.mode} ${fault.element} ${fault.points.join(" ")} is not among ${told.length}`);
      assert.ok(await bench.page.$(".frame svg"), "the picture shows them");
      await bench.page.goto("about:blank"); // put down, whatever it was
      await bench.page.close();
      await bench.tab();
    }
  }
  await bench.close();
});

test("nonsense is refused with a word, changes nothing and stays to be mended", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2);
  await bench.take(kFernhollow2);
  await bench.click("#begin-full");
  const before = await bench.work(instrument, (ask) => read_kind(ask) && ask.range === "20k");
  for (const typed of ["bananas", "6.71", "1", "-3k", "6,7,1k", "'", "<b>6</b>", "9".repeat(500)]) {
    await bench.type(typed);
    assert.match(await bench.said(), /^Not taken/, typed.slice(0, 20));
    assert.equal(place_of(await bench.asked()), place_of(before));
    assert.equal(await bench.page.inputValue("#display"), typed);
  }
  await bench.close();
});

test("the keypad types a reading: 6.71k, with a decimal comma too, OL over what was typed, and erases", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2);
  await bench.take(kFernhollow2);
  await bench.click("#begin-full");
  await bench.work(instrument, (ask) => read_kind(ask) && ask.range === "20k");
  const press = async (...keys) => { for (const key of keys) await bench.page.click(`.keys button:text-is("${key}")`); };
  const display = () => bench.page.inputValue("#display");
  await press("6", ".", ".", "7", "1", "k", "M", "k", "3");
  assert.equal(await display(), "6.71k");
  await press("OL");
  assert.equal(await display(), "OL");
  await press("⌫");
  assert.equal(await display(), "");
  await bench.page.click(".likes summary");
  await bench.page.click("text=decimal comma");
  await press("6", ",", "7", "1", "k");
  assert.equal(await display(), "6,71k");
  await bench.click("#main");
  assert.match(await bench.said(), /^Agrees: 6,71k/);
  await bench.close();
});

test("undo goes back step by step to the beginning", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2);
  await bench.take(kFernhollow2);
  await bench.click("#begin-full");
  const places = [];
  await bench.work(instrument, (ask) => {
    if (ask.between) places.push(place_of(ask));
    return places.length === 5;
  });
  for (const place of places.slice(0, -1).reverse()) {
    await bench.click('button:text-is("Undo")');
    assert.equal(place_of(await bench.asked()), place);
  }
  await bench.close();
});

test("a tab that is closed loses nothing: the next one goes on at the same step", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2, ["the track of volume is open"]);
  await bench.take(kFernhollow2);
  await bench.click("#begin-full");
  let reads = 0;
  const before = await bench.work(instrument, (ask) => read_kind(ask) && ++reads === 3);
  await bench.page.close();
  await bench.tab();
  await bench.click(".job .wide");
  assert.equal(place_of(await bench.work(instrument, asks_to_probe)), place_of(before));
  assert.equal(await bench.page.inputValue("#display"), "");
  await bench.close();
});

test("a record saved in the page is gone on with by the program, and one of the program in the page", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2);
  await bench.take(kFernhollow2);
  await bench.click("#begin-outside");
  let reads = 0;
  const before = await bench.work(instrument, (ask) => read_kind(ask) && ++reads === 3);
  assert.ok(await bench.page.isVisible(".reminder"));
  const [download] = await Promise.all([bench.page.waitForEvent("download"), bench.page.click("#save")]);
  await bench.still();
  assert.equal(await bench.page.$(".reminder"), null);
  assert.equal(download.suggestedFilename(), "fernhollow-2.readings.yaml");

  const folder = mkdtempSync(join(tmpdir(), "lugwise-page-"));
  const record = join(folder, download.suggestedFilename());
  await download.saveAs(record);
  writeFileSync(join(folder, kFernhollow2), worked(kFernhollow2));
  const resumed = spawnSync(native, ["guide", "--resume", record, "--json"], {input: `\n${instrument.reads(before)}\n`, encoding: "utf8"});
  const [, first, second] = resumed.stdout.trim().split("\n").map((line) => JSON.parse(line));
  assert.equal(place_of(first.ask), place_of(before), resumed.stderr);

  await bench.page.goto("about:blank");
  await bench.tab();
  await bench.page.setInputFiles("input[type=file]", [record, join(folder, kFernhollow2)]);
  await bench.page.waitForSelector("[data-ask]");
  assert.equal(place_of(await bench.work(instrument, asks_to_probe)), place_of(second.ask));
  await bench.close();
});

test("a netlist full of markup, script and control characters does nothing but show its letters", async () => {
  const hostile = `lugwise: 1
name: "<img src=x onerror='window.caught=1'><script>window.caught=1</script>\\u202e\\u0007"
about: "</textarea></script><script>window.caught=1</script> &lt;b&gt; javascript:window.caught=1"
parts:
  coil: {kind: pickup, dcr: 6k}
  jack: {kind: jack}
wires:
  - {name: "<img src=x onerror=caught=1 ", run: [coil.hot, jack.tip], colour: black}
  - {name: "x\\" onload=\\"caught=1", run: [coil.ground, jack.sleeve]}
`;
  const bench = await Bench.open();
  const scripts = await bench.page.$$eval("script", (found) => found.length);
  const paste = async (text) => {
    await bench.page.click('summary:text-is("Paste a netlist")');
    await bench.page.fill("#paste", text);
    await bench.click('button:text-is("Use this text")');
  };
  await paste(hostile);
  if (await bench.page.$("#netlist")) {
    // Refused, in words.
    assert.ok((await bench.page.$$(".problems li")).length > 0);
    await bench.page.fill("#netlist", hostile.replace(/\\u202e\\u0007/, ""));
    await bench.click("#main");
  }
  await bench.page.waitForSelector(".frame svg");
  await bench.click("#begin-full");
  await bench.work(await Instrument.make("fernhollow-1.yaml"), (ask) => ask.between !== undefined);
  await bench.page.waitForSelector(".frame svg");
  assert.equal(await bench.page.evaluate(() => globalThis.caught), undefined);
  assert.equal(await bench.page.$$eval("script", (found) => found.length), scripts);
  assert.equal(await bench.page.$$eval("svg script, svg foreignObject, svg [onload], svg a, img", (found) => found.length), 0);
  await bench.close();
});

test("a file that is no netlist opens in the editor with what is wrong beside its lines, and is mended there", async () => {
  const bench = await Bench.open();
  const broken = worked(kFernhollow2).replace("kind: jack", "kind: jak").replace("dcr: 6.2k", "dcr: 6.2m");
  await bench.page.setInputFiles("input[type=file]", {name: "mine.yaml", mimeType: "text/yaml", buffer: Buffer.from(broken)});
  await bench.page.waitForSelector("#netlist");
  assert.equal((await bench.page.$$(".problems .error")).length, 2);
  assert.match(await bench.page.textContent(".problems"), /jak.*jack/s);
  await bench.look_for_barriers("netlist with errors");
  await bench.picture("errors-360");
  await bench.page.fill("#netlist", worked(kFernhollow2));
  await bench.click("#main");
  await bench.page.waitForSelector(".frame svg");
  await bench.close();
});

test("two points are tapped on the picture, and the page says what the meter should show", async () => {
  const bench = await Bench.open();
  await bench.take(kFernhollow2);
  await bench.page.waitForSelector(".frame svg");
  const tap = async (point) => {
    const box = await bench.page.locator(`.frame svg [data-point="${point}"]`).first().boundingBox();
    await bench.page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await bench.still();
  };
  await bench.page.click('button[aria-label="Larger"]'); // as fingers need it on a phone
  await bench.page.click('button[aria-label="All of it"]');
  await tap("jack.plug-tip");
  await tap("jack.plug-sleeve");
  const instrument = await Instrument.make(kFernhollow2);
  const {shows} = JSON.parse(instrument.run("expect", kFernhollow2, "jack.plug-tip", "jack.plug-sleeve", "--json").out);
  assert.ok((await bench.page.textContent(".answer")).includes(shows.nominal));
  await bench.close();
});

test("a browser that keeps nothing is told of first; the work goes on, and is saved by hand", async () => {
  const bench = await Bench.open({before: () => {
    Object.defineProperty(globalThis, "indexedDB", {get() { throw new DOMException("storage is off", "SecurityError"); }});
    Object.defineProperty(globalThis, "localStorage", {get() { throw new DOMException("storage is off", "SecurityError"); }});
  }});
  assert.match(await bench.page.textContent("h1 + .banner"), /keeps nothing.*save/s);
  await bench.picture("refused-360");
  await bench.take("fernhollow-1.yaml");
  await bench.click("#begin-full");
  await bench.work(await Instrument.make("fernhollow-1.yaml"), read_kind);
  const [download] = await Promise.all([bench.page.waitForEvent("download"), bench.page.click("#save")]);
  assert.ok(download.suggestedFilename().endsWith(".yaml"));
  await bench.close();
});

test("a full store says that the entry is not kept, keeps it once there is room, and never asks for it again", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make("fernhollow-1.yaml");
  await bench.take("fernhollow-1.yaml");
  await bench.click("#begin-full");
  const before = await bench.work(instrument, read_kind);
  await bench.page.evaluate(() => {
    const put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function (value) {
      if (!globalThis.room) throw new DOMException("the disk is full", "QuotaExceededError");
      return put.call(this, value);
    };
  });
  await bench.type(instrument.reads(before));
  assert.match(await bench.page.textContent(".banner.bad"), /NOT KEPT/);
  await bench.page.evaluate(() => { globalThis.room = true; });
  const next = await bench.work(instrument, (ask) => place_of(ask) !== place_of(before));
  await bench.work(instrument, (ask) => place_of(ask) !== place_of(next));
  await bench.page.close();
  await bench.tab();
  await bench.click(".job .wide");
  assert.notEqual(place_of(await bench.work(instrument, asks_to_probe)), place_of(before));
  await bench.close();
});

test("a complaint comes first: of a silent pickup the first probe is about it, and a shock ends the work", async () => {
  const bench = await Bench.open();
  await bench.take(kFernhollow2);
  await bench.page.selectOption("#complaint", "shock");
  assert.match(await bench.page.textContent("main"), /licensed electrician/);
  await bench.page.selectOption("#complaint", "silent");
  await bench.page.selectOption("#which", "front");
  await bench.click("#begin-full");
  const instrument = await Instrument.make(kFernhollow2, ["the contact between selector.f and selector.out is open"]);
  const first = await bench.work(instrument, (ask) => ask.between !== undefined);
  assert.notEqual(first.set.selector, "rear", "where the front pickup can be read");
  await bench.close();
});

test("keys alone do all of it, and a foot switch presses the main button", async () => {
  const bench = await Bench.open();
  const {page} = bench;
  await page.focus('[data-harness="fernhollow-1.yaml"]');
  await page.keyboard.press("Enter");
  await bench.still();
  await page.focus("#begin-full");
  await page.keyboard.press("Space");
  await bench.still();
  await page.keyboard.press("PageDown");
  await bench.still();
  const ask = await bench.asked();
  assert.ok(ask.tips, JSON.stringify(ask));
  await page.focus("#display");
  await page.keyboard.type("0.3");
  await page.keyboard.press("Enter");
  await bench.still();
  assert.notEqual((await bench.asked()).say, ask.say);
  await bench.close();
});

test("no screen has a barrier or a small target, at 360, 768 and 1280 pixels, light and dark", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make(kFernhollow2, ["the contact between selector.f and selector.out is open"]);
  const look = async (name) => {
    await bench.still();
    for (const width of [360, 768, 1280]) {
      await bench.page.setViewportSize({width, height: 800});
      await bench.look_for_small_targets(`${name} at ${width}`);
      await bench.picture(`${name}-${width}`);
    }
    await bench.page.setViewportSize({width: 360, height: 740});
    for (const colorScheme of ["dark", "light"]) {
      await bench.page.emulateMedia({colorScheme});
      await bench.look_for_barriers(`${name}, ${colorScheme}`);
      if (colorScheme === "dark") await bench.picture(`${name}-dark`);
    }
  };
  await bench.page.click('summary:text-is("Paste a netlist")');
  await bench.page.click(".likes summary");
  await look("start");
  await bench.take(kFernhollow2);
  await bench.page.waitForSelector(".frame svg");
  await look("harness");
  await bench.click('button:text-is("Change the harness")');
  await look("edit");
  await bench.click('header button:text-is("The harness")');
  await bench.click("#begin-full");
  await look("begin");
  await bench.work(instrument, (ask) => ask.tips);
  await look("tips");
  await bench.work(instrument, read_kind);
  await bench.page.waitForSelector(".frame svg");
  await look("step");
  await bench.work(instrument, (ask) => ask.kind === "probe" || ask.kind === "verdict");
  await look("probe");
  await bench.work(instrument);
  await look("verdict");
  if (process.env.LUGWISE_PICTURES) await bench.page.pdf({path: join(process.env.LUGWISE_PICTURES, "verdict.pdf")});
  await bench.close();
});

test("the harness is changed by hand on its picture: the text follows, its comments stay, and undo brings it back", async () => {
  const bench = await Bench.open();
  const {page} = bench;
  await bench.take(kFernhollow2);
  await bench.click('button:text-is("Change the harness")');
  await page.waitForSelector(".frame svg");
  const before = await page.inputValue("#netlist");
  assert.equal(before, worked(kFernhollow2));
  const text = () => page.inputValue("#netlist");
  const tap = async (point) => {
    await page.locator(".frame svg").scrollIntoViewIfNeeded();
    const box = await page.locator(`.frame svg [data-point="${point}"]`).first().boundingBox();
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await bench.still();
  };
  await tap("jack.tip");
  await tap("jack.sleeve");
  await page.selectOption('select:near(:text("Its colour"))', "red");
  await bench.click("#draw-wire");
  assert.ok((await text()).includes("  - {run: [jack.tip, jack.sleeve], colour: red}\n"));
  await page.click('summary:text-is("Add a part")');
  await page.selectOption("#part-kind", "capacitor");
  await page.fill("#part-name", "bright");
  await page.fill("#part-value", "1n");
  await bench.click("#add-part");
  assert.match(await text(), /  bright: \{kind: capacitor, value: 1n\}/);
  await page.fill("#part-value", "1 bucket");
  await page.fill("#part-name", "odd");
  await bench.click("#add-part");
  assert.match(await page.textContent("main"), /Not done/);
  assert.doesNotMatch(await text(), /bucket/);
  await tap("jack.tip");
  await tap("jack.tip"); // alone
  await bench.click('button:text-is("Take off to jack.sleeve")');
  assert.doesNotMatch(await text(), /jack\.tip, jack\.sleeve/);
  for (const line of before.split("\n").filter((each) => each.includes("#"))) assert.ok((await text()).includes(line), line);
  for (let i = 0; i < 3; ++i) await bench.click("#undo");
  assert.equal(await text(), before);
  await bench.close();
});

test("an exercise is made, probed, answered and marked, and is still there in the next tab", async () => {
  const bench = await Bench.open();
  const {page} = bench;
  await bench.take("fernhollow-1.yaml");
  await page.click('summary:text-is("Practise on it")');
  await bench.click('[data-level="3"]');
  await bench.still();
  assert.equal(await bench.heading(), "Exercise, level 3");
  assert.match(await page.textContent(".told"), /The player says/);
  await page.selectOption('select:near(:text("One probe"))', "jack.plug-tip");
  await page.selectOption('label:has-text("The other") select', "jack.plug-sleeve");
  await bench.click("#main");
  assert.match(await bench.said(), /display/);
  // Another range, a knob turned from end to end, a point pressed.
  for (const [id, value, shown] of [["#range", "2M", /\(2M\)/], ["#range", "", /display/], ["#watched", "sweep volume", /volume turned from end to end/],
    ["#watched", "wiggle volume.case", /pressing volume\.case/]]) {
    await page.selectOption(id, value);
    await page.selectOption('select:near(:text("One probe"))', id === "#watched" ? "volume.2" : "jack.plug-tip");
    await page.selectOption('label:has-text("The other") select', id === "#watched" ? "volume.1" : "jack.plug-sleeve");
    await bench.click("#main");
    assert.match(await bench.said(), shown);
  }
  assert.match(await page.textContent(".log"), /turning volume: (smooth|jumps)/);
  assert.match(await page.textContent(".log"), /pressing volume\.case: (steady|unstable)/);
  await page.close();
  await bench.tab();
  await bench.click(".job .wide");
  assert.match(await page.context().pages().at(-1).textContent(".log"), /jack\.plug-tip and jack\.plug-sleeve/);
  const fault = await bench.page.getAttribute("#faults option", "value");
  await bench.page.fill("#claim", fault);
  await bench.click("#name");
  await bench.click("#mark");
  assert.match(await bench.page.textContent(".mark"), /of 100/);
  await bench.look_for_barriers("exercise");
  await bench.look_for_small_targets("exercise");
  await bench.picture("exercise-360");
  await bench.close();
});
