// A netlist's text after one change by hand; all that is not changed stays as it was typed. What they can't do they say in an
// Error. Whether the netlist is right afterwards is for the engine to say.
import {Changes, NotPlain, entry_of, outline, texts_of, type Entry, type List, type Mapping, type Node, type Outline} from "./yaml_text.js";

// A leg of a wire, or a lead in a joint, as it stands in the text.
export interface Attached {
  kind: "wire" | "joint";
  index: number; // of the entry in its list
  points: string[]; // all of the entry
  name: string;
  colour: string;
}

const kPlain = /^[A-Za-z0-9_][\w./%Ωµ -]*[\w.%Ω-]$|^[A-Za-z0-9_]$/;

function typed(value: string): string {
  return kPlain.test(value) ? value : JSON.stringify(value);
}

function run_of(item: Node | undefined): List | null {
  const list = item?.kind === "list" ? item : entry_of(item, "run")?.value;
  return list?.kind === "list" ? list : null;
}

function items_of(about: Outline, section: string): Node[] {
  const value = entry_of(about.root, section)?.value;
  return value?.kind === "list" ? value.items : [];
}

function text_at(item: Node | undefined, key: string): string {
  const value = entry_of(item, key)?.value;
  return value?.kind === "scalar" ? value.value : "";
}

export function part_names(text: string): string[] {
  const parts = entry_of(outline(text).root, "parts")?.value;
  return parts?.kind === "map" ? parts.entries.map((entry) => entry.key.value) : [];
}

// The keys of a part that are plain values: `track` is "250k".
export function values_of(text: string, part: string): Record<string, string> {
  const value = entry_of(entry_of(outline(text).root, "parts")?.value, part)?.value;
  const found: Record<string, string> = {};
  if (value?.kind === "map") for (const entry of value.entries) if (entry.value?.kind === "scalar") found[entry.key.value] = entry.value.value;
  return found;
}

// What is wired or soldered to a point.
export function attached_to(text: string, point: string): Attached[] {
  const about = outline(text);
  const wires = items_of(about, "wires").map((item, index): Attached => ({kind: "wire", index, points: texts_of(run_of(item)), name: text_at(item, "name"), colour: text_at(item, "colour")}));
  const joints = items_of(about, "joints").map((item, index): Attached => ({kind: "joint", index, points: texts_of(item), name: "", colour: ""}));
  return [...wires, ...joints].filter((each) => each.points.includes(point));
}

// One more entry at the end of a list or map of the netlist, in the style that it is written in.
function add_entry(text: string, section: string, line: string, is_list: boolean): string {
  const about = outline(text);
  const changes = new Changes(text, about.comments);
  const there = entry_of(about.root, section);
  const mark = is_list ? "- " : "";
  if (!there) {
    return `${text}${text === "" || text.endsWith("\n") ? "" : "\n"}\n${section}:\n  ${mark}${line}\n`;
  }
  const value = there.value;
  if (!value) {
    changes.insert_line(there.key.end, `  ${mark}${line}`);
  } else if (value.kind === "scalar" || (value.kind === "list") !== is_list) {
    throw new NotPlain(`'${section}' is not written as expected: change it as text.`);
  } else if (value.flow) {
    const empty = (value.kind === "list" ? value.items : value.entries).length === 0;
    if (empty && !/\n/.test(text.slice(value.start, value.end))) changes.replace(text.lastIndexOf(":", value.start) + 1, value.end, `\n  ${mark}${line}`);
    else changes.replace(value.end - 1, value.end - 1, /,\s*$/.test(text.slice(value.start, value.end - 1)) ? ` ${line}` : `, ${line}`);
  } else {
    const column = value.start - (text.lastIndexOf("\n", value.start - 1) + 1);
    changes.insert_line(value.end, `${" ".repeat(column)}${mark}${line}`);
  }
  return changes.done();
}

// `body` is what stands behind the name, as "{kind: pot, track: 250k}".
export function add_part(text: string, name: string, body: string): string {
  if (!/^[\w-]+$/.test(name)) throw new Error(`'${name}' is no name for a part: letters, digits, - and _.`);
  if (part_names(text).includes(name)) throw new Error(`There is a part '${name}' already.`);
  return add_entry(text, "parts", `${name}: ${body}`, false);
}

export function add_wire(text: string, from: string, to: string, name = "", colour = ""): string {
  const more = [name === "" ? "" : `name: ${typed(name)}`, `run: [${from}, ${to}]`, colour === "" ? "" : `colour: ${typed(colour)}`].filter((each) => each !== "");
  return add_entry(text, "wires", more.length === 1 ? `[${from}, ${to}]` : `{${more.join(", ")}}`, true);
}

// A lead soldered to a surface: into the blob that is on a lug already; on a case, a shield or metal a blob of its own.
export function add_joint(text: string, surface: string, lead: string): string {
  const about = outline(text);
  const kind = values_of(text, surface.split(".")[0] ?? "")["kind"];
  const blob = items_of(about, "joints").find((item) => texts_of(item)[0] === surface);
  if (blob?.kind === "list" && blob.flow && kind !== "metal" && !/\.(case|shield)$/.test(surface)) {
    const changes = new Changes(text, about.comments);
    const last = blob.items[blob.items.length - 1];
    changes.replace(last?.end ?? blob.start + 1, last?.end ?? blob.start + 1, `, ${lead}`);
    return changes.done();
  }
  return add_entry(text, "joints", `[${surface}, ${lead}]`, true);
}

function remove_entry(text: string, section: string, index: number): string {
  const about = outline(text);
  const changes = new Changes(text, about.comments);
  const there = entry_of(about.root, section);
  const list = there?.value;
  if (list?.kind !== "list" || !there) throw new Error(`There is nothing under '${section}'.`);
  const item = list.items[index];
  if (!item) throw new Error("It is not there any more.");
  if (list.flow) changes.remove_item(list, index);
  else {
    changes.remove_lines(item.start, item.end);
    if (list.items.length === 1) changes.replace(there.key.end + 1, there.key.end + 1, " []");
  }
  return changes.done();
}

// The leg between two points of a wire: the whole wire, its first or last stretch, or out of its middle.
export function remove_leg(text: string, index: number, from: string, to: string): string {
  const about = outline(text);
  const item = items_of(about, "wires")[index];
  const run = run_of(item);
  const points = texts_of(run);
  const at = points.findIndex((point, i) => (point === from && points[i + 1] === to) || (point === to && points[i + 1] === from));
  if (!item || !run || at < 0) throw new Error(`No wire runs from ${from} to ${to}.`);
  if (points.length === 2) return remove_entry(text, "wires", index);
  const first = at === 0;
  if (!first && at !== points.length - 2) {
    // Out of the middle: two wires, in the short form the second.
    const changes = new Changes(text, about.comments);
    for (let i = points.length - 1; i > at; --i) changes.remove_item({...run, items: run.items.slice(0, i + 1)}, i);
    return add_entry(changes.done(), "wires", `[${points.slice(at + 1).join(", ")}]`, true);
  }
  const gone = first ? 0 : points.length - 1;
  const changes = new Changes(text, about.comments);
  changes.remove_item(run, gone);
  const pressed = entry_of(item, "pressed")?.value;
  const held = texts_of(pressed).indexOf(points[gone] ?? "");
  if (pressed?.kind === "list" && held >= 0) {
    if (pressed.items.length > 1) changes.remove_item(pressed, held);
    else if (item.kind === "map") remove_value(changes, item, "pressed");
  }
  return changes.done();
}

// A lead out of a blob; of two the blob goes.
export function remove_lead(text: string, index: number, lead: string): string {
  const about = outline(text);
  const blob = items_of(about, "joints")[index];
  const at = texts_of(blob).indexOf(lead);
  if (blob?.kind !== "list" || at < 0) throw new Error(`${lead} is not soldered there.`);
  if (blob.items.length <= 2) return remove_entry(text, "joints", index);
  if (!blob.flow) throw new NotPlain("This joint can only be changed as text.");
  const changes = new Changes(text, about.comments);
  changes.remove_item(blob, at);
  return changes.done();
}

// A part that nothing is joined to.
export function remove_part(text: string, part: string): string {
  const about = outline(text);
  const parts = entry_of(about.root, "parts")?.value;
  const entry = entry_of(parts, part);
  if (parts?.kind !== "map" || !entry) throw new Error(`There is no part '${part}'.`);
  const of_part = (point: string): boolean => point.startsWith(`${part}.`) || point.includes(`>${part}.`);
  const used = new Set<string>();
  for (const section of ["wires", "joints", "touches"])
    for (const item of items_of(about, section)) for (const point of [...texts_of(item), ...texts_of(run_of(item)), ...texts_of(entry_of(item, "points")?.value)]) if (of_part(point)) used.add(point);
  if (used.size > 0) throw new Error(`Take off first what is at ${[...used].join(", ")}.`);
  const changes = new Changes(text, about.comments);
  remove_value(changes, parts, part);
  return changes.done();
}

function remove_value(changes: Changes, map: Mapping, key: string): void {
  const index = map.entries.findIndex((entry) => entry.key.value === key);
  const entry = map.entries[index];
  if (!entry) return;
  if (map.flow) changes.remove_item(pairs_of(map), index);
  else changes.remove_lines(entry.key.start, entry.value?.end ?? entry.key.end);
}

// A map in braces as the list of its pairs.
function pairs_of(map: Mapping): List {
  const items = map.entries.map((each): Node => ({kind: "scalar", start: each.key.start, end: each.value?.end ?? each.key.end, value: ""}));
  return {kind: "list", start: map.start, end: map.end, flow: true, items};
}

// One value behind a key of a map: replaced, added, or, where it is empty, taken out.
function put_value(text: string, changes: Changes, map: Mapping, key: string, value: string): void {
  const entry = entry_of(map, key);
  if (entry?.value && entry.value.kind !== "scalar") throw new NotPlain(`'${key}' can only be changed as text.`);
  if (entry && value !== "") {
    const [start, end] = entry.value ? [entry.value.start, entry.value.end] : [entry.key.end + 1, entry.key.end + 1];
    changes.replace(start, end, entry.value ? typed(value) : ` ${typed(value)}`);
  } else if (entry) {
    remove_value(changes, map, key);
  } else if (value !== "" && map.flow) {
    const last: Entry | undefined = map.entries[map.entries.length - 1];
    const at = last ? last.value?.end ?? last.key.end : map.start + 1;
    changes.replace(at, at, `${last ? ", " : ""}${key}: ${typed(value)}`);
  } else if (value !== "") {
    const column = map.start - (text.lastIndexOf("\n", map.start - 1) + 1);
    changes.insert_line(map.end, `${" ".repeat(column)}${key}: ${typed(value)}`);
  }
}

export function set_value(text: string, part: string, key: string, value: string): string {
  const about = outline(text);
  const map = entry_of(entry_of(about.root, "parts")?.value, part)?.value;
  if (map?.kind !== "map") throw new Error(`There is no part '${part}'.`);
  const changes = new Changes(text, about.comments);
  put_value(text, changes, map, key, value.trim());
  return changes.done();
}

// A wire's name or colour; the short form becomes the long one.
export function set_wire(text: string, index: number, key: "name" | "colour", value: string): string {
  const about = outline(text);
  const item = items_of(about, "wires")[index];
  const changes = new Changes(text, about.comments);
  if (item?.kind === "map") put_value(text, changes, item, key, value.trim());
  else if (item?.kind === "list" && item.flow && value.trim() !== "") changes.replace(item.start, item.end, `{run: ${text.slice(item.start, item.end)}, ${key}: ${typed(value.trim())}}`);
  return changes.done();
}

// Another name for a part, wherever the text speaks of it; comments stay as they are.
export function rename_part(text: string, part: string, name: string): string {
  if (!/^[\w-]+$/.test(name)) throw new Error(`'${name}' is no name for a part: letters, digits, - and _.`);
  if (part_names(text).includes(name)) throw new Error(`There is a part '${name}' already.`);
  const about = outline(text);
  const changes = new Changes(text, about.comments);
  const whole = entry_of(entry_of(about.root, "parts")?.value, part);
  if (!whole) throw new Error(`There is no part '${part}'.`);
  changes.replace(whole.key.start, whole.key.end, name);
  const point = new RegExp(`(^|[:>])${part.replaceAll("-", "\\-")}\\.`, "g");
  const walk = (node: Node | null, alone: boolean): void => {
    if (node?.kind === "list") for (const item of node.items) walk(item, alone);
    if (node?.kind === "map") {
      for (const entry of node.entries) {
        const names_part = ["gang", "mounted", "without"].includes(entry.key.value);
        if (entry !== whole) walk(entry.key, alone);
        if (!["name", "about"].includes(entry.key.value)) walk(entry.value, names_part || ["reach", "places"].includes(entry.key.value));
      }
    }
    if (node?.kind === "scalar") {
      const now = text.slice(node.start, node.end);
      const next = alone && node.value === part ? name : now.replace(point, `$1${name}.`);
      if (next !== now) changes.replace(node.start, node.end, next);
    }
  };
  for (const entry of about.root.entries) {
    if (["name", "about"].includes(entry.key.value)) continue;
    walk(entry.value, ["reach", "places", "stages"].includes(entry.key.value));
  }
  return changes.done();
}
