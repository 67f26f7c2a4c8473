// The page as a technician has it: opened from a folder, with no network, in Debian's Chromium.
import assert from "node:assert/strict";
import {test} from "node:test";
import {Bench, Instrument} from "./bench.mjs";

test("a sound harness is probed to the end, and the page says it is sound", async () => {
  const bench = await Bench.open();
  const instrument = await Instrument.make("fernhollow-1.yaml");
  await bench.take("fernhollow-1.yaml");
  await bench.click("#begin-full");
  const last = await bench.work(instrument);
  assert.equal(last.kind, "finished");
  assert.match(await bench.page.textContent("main"), /The harness is sound/);
  await bench.close();
});
