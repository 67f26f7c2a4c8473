// A change by hand changes what it says and nothing else: every comment survives, the engine reads the result, and what was
// added and taken off again leaves the text as it was. Over all worked harnesses.
import assert from "node:assert/strict";
import {mkdtempSync, readdirSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {test} from "node:test";
import {pathToFileURL} from "node:url";
import {Instrument, require, root, worked} from "./bench.mjs";

const file = join(mkdtempSync(join(tmpdir(), "lugwise-edit-")), "edit.mjs");
require("esbuild").buildSync({entryPoints: [join(root, "app/browser/src/netlist_edit.ts")], bundle: true, format: "esm", outfile: file, logLevel: "silent"});
const edit = await import(pathToFileURL(file).href);

const names = readdirSync(join(root, "harnesses")).filter((name) => name.endsWith(".yaml"));
const engine = (await Instrument.make("fernhollow-1.yaml")).engine;

// No worked netlist has a # in quotes.
const comments_in = (text) => text.split("\n").flatMap((line) => (/(?:^|\s)(#.*)$/.exec(line) ?? []).slice(1)).map((each) => each.trim()).sort();

function read(name, text) {
  const instrument = new Instrument(engine, name, []);
  instrument.files[name] = text;
  const answer = instrument.ask({do: "describe", files: instrument.files, harness: name});
  assert.equal(answer.exit, 0, `${name}: ${answer.err}\n${text}`);
  return answer;
}

// A lug of each of two parts that a wire can join, of the text's own parts.
function two_lugs(text, about) {
  const own = new Set(edit.part_names(text));
  const lugs = about.points.map((point) => point.name).filter((point) => /^[\w-]+\.[\w-]+$/.test(point) && own.has(point.split(".")[0]) && !/jack|plug/.test(point));
  return [lugs[0], lugs.find((point) => point.split(".")[0] !== lugs[0].split(".")[0])];
}

test("a wire that is drawn is there, and taken off again leaves the text as it was", () => {
  for (const name of names) {
    const before = worked(name);
    const about = read(name, before);
    const [a, b] = two_lugs(before, about);
    const drawn = edit.add_wire(before, a, b, "extra one", "red");
    assert.deepEqual(read(name, drawn).wires, [...about.wires, "extra one"], name);
    assert.deepEqual(comments_in(drawn), comments_in(before), name);
    const wire = edit.attached_to(drawn, a).find((each) => each.name === "extra one");
    assert.deepEqual([wire.points, wire.colour], [[a, b], "red"], name);
    if (about.wires.length > 0) assert.equal(edit.remove_leg(drawn, wire.index, b, a), before, name);
  }
});

test("a part that is added is there, its value and name are set, and taken off it leaves the text as it was", () => {
  for (const name of names) {
    const before = worked(name);
    const about = read(name, before);
    const added = edit.add_part(before, "spare-one", "{kind: pot, track: 500k}");
    assert.deepEqual(read(name, added).parts, [...about.parts, {name: "spare-one", kind: "pot"}], name);
    const valued = edit.set_value(edit.set_value(added, "spare-one", "track", "250k"), "spare-one", "taper", "audio");
    assert.deepEqual(edit.values_of(valued, "spare-one"), {kind: "pot", track: "250k", taper: "audio"});
    const named = edit.rename_part(valued, "spare-one", "spare-two");
    assert.ok(read(name, named).parts.some((part) => part.name === "spare-two"), name);
    assert.deepEqual(comments_in(named), comments_in(before), name);
    assert.equal(edit.remove_part(named, "spare-two"), before, name);
  }
});

test("every leg of every wire can be taken off, and every lead out of its joint; no comment is lost", () => {
  let done = 0;
  for (const name of names) {
    const before = worked(name);
    const about = read(name, before);
    for (const {name: point} of about.points) {
      for (const each of edit.attached_to(before, point)) {
        const at = each.points.indexOf(point);
        const after = each.kind === "joint" ? edit.remove_lead(before, each.index, point)
          : edit.remove_leg(before, each.index, point, each.points[at + 1] ?? each.points[at - 1]);
        assert.deepEqual(comments_in(after), comments_in(before), `${name} ${point}`);
        assert.notEqual(after, before);
        // The engine may name what the rest of the file still says of it (a reach, a stage); all else is read.
        if (++done % 7 === 0) {
          const instrument = new Instrument(engine, name, []);
          instrument.files[name] = after;
          const {exit, errors = []} = instrument.ask({do: "describe", files: instrument.files, harness: name});
          assert.ok(exit === 0 || errors.every((error) => /no such|nothing|not joined|no wire|>/.test(error.message)), `${name} ${point}: ${JSON.stringify(errors)}\n${after}`);
        }
      }
    }
  }
  assert.ok(done > 300);
});

test("every part of every harness can be given another name, and back: the text is as it was, and what it means too", () => {
  for (const name of names) {
    const before = worked(name);
    const about = read(name, before);
    for (const part of edit.part_names(before)) {
      const after = edit.rename_part(before, part, "other-name");
      assert.equal(edit.rename_part(after, "other-name", part), before, `${name} ${part}`);
    }
    const part = edit.part_names(before)[0];
    const {parts, points} = read(name, edit.rename_part(before, part, "other-name"));
    assert.equal(parts.length, about.parts.length);
    assert.equal(points.length, about.points.length);
  }
});

test("a lead that is soldered to a lug joins the blob there, to a case it makes one of its own", () => {
  const text = "lugwise: 1\nparts:\n  p: {kind: pot, track: 250k}\n  c: {kind: capacitor, value: 47n}\n  d: {kind: capacitor, value: 47n}\njoints:\n  - [p.1, c.1] # here\n  - [p.case, c.2]\n";
  assert.match(edit.add_joint(text, "p.1", "d.1"), /- \[p\.1, c\.1, d\.1\] # here/);
  assert.match(edit.add_joint(text, "p.case", "d.2"), /- \[p\.case, c\.2\]\n {2}- \[p\.case, d\.2\]/);
});

test("a wire's name and colour are set in both forms, changed and taken out; a leg out of the middle leaves two wires", () => {
  const text = 'lugwise: 1\nwires:\n  - [a.1, b.1] # short\n  - {run: [a.2, b.2, c.2, d.2], pressed: [d.2], colour: black} # long\n';
  const named = edit.set_wire(text, 0, "name", "hot lead: one");
  assert.match(named, /- \{run: \[a\.1, b\.1\], name: "hot lead: one"\} # short/);
  assert.equal(edit.set_wire(edit.set_wire(text, 1, "colour", "red"), 1, "colour", "black"), text);
  assert.match(edit.set_wire(text, 1, "colour", ""), /- \{run: \[a\.2, b\.2, c\.2, d\.2\], pressed: \[d\.2\]\} # long/);
  assert.match(edit.remove_leg(text, 1, "b.2", "c.2"), /run: \[a\.2, b\.2\].*\n {2}- \[c\.2, d\.2\]/s);
  assert.match(edit.remove_leg(text, 1, "c.2", "d.2"), /\{run: \[a\.2, b\.2, c\.2\], colour: black\}/);
  assert.equal(edit.remove_leg(text, 0, "a.1", "b.1"), text.replace("  - [a.1, b.1] # short", "  # short"));
});

test("what YAML has beyond plain maps and lists is refused with a word, and no text makes it hang or throw anything else", () => {
  for (const odd of ["parts: &a {}", "parts: *a", "parts: !x {}", "parts: |\n  text", "? a\n: b", "\tparts: {}", "parts: {", "parts: [a", "a: b: c", "a: 'b", "{parts: {}}", "a\n b", "- a"])
    assert.throws(() => edit.add_wire(odd, "a.1", "b.1"), /can only be changed as text|not written as expected/, odd);
  // Every beginning of a netlist, and one with each letter left out.
  const text = worked("fernhollow-2.yaml");
  for (let i = 0; i < text.length; i += 3) {
    for (const each of [text.slice(0, i), text.slice(0, i) + text.slice(i + 1)]) {
      try {
        edit.add_wire(each, "a.1", "b.1");
      } catch (error) {
        assert.match(error.message, /as text/);
      }
    }
  }
});
