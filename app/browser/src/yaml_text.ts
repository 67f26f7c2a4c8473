// Where in a YAML text each thing stands, so that one can be changed and all else, comments too, stays as it was typed.
//
// It reads the YAML that netlists are written in: maps, lists and scalars in block and flow style, quotes and comments. What
// else YAML has (anchors, tags, text over several lines) is refused with `NotPlain`: such a netlist is changed as text.

export class NotPlain extends Error {}

export interface Scalar {
  kind: "scalar";
  start: number;
  end: number;
  value: string;
}

export interface List {
  kind: "list";
  start: number;
  end: number;
  flow: boolean;
  items: Node[];
}

export interface Entry {
  key: Scalar;
  value: Node | null;
}

export interface Mapping {
  kind: "map";
  start: number;
  end: number;
  flow: boolean;
  entries: Entry[];
}

export type Node = Scalar | List | Mapping;

export interface Comment {
  start: number;
  end: number;
}

export interface Outline {
  root: Mapping;
  comments: Comment[];
}

const kDeepest = 50;

class Reader {
  private at = 0;
  private depth = 0;
  readonly comments: Comment[] = [];
  constructor(private readonly text: string) {}

  whole(): Mapping {
    this.skip();
    if (this.text.startsWith("---", this.at) && this.column() === 0) {
      this.at += 3;
      this.skip();
    }
    const root = this.block();
    this.skip();
    if (this.at < this.text.length || root.kind !== "map" || root.flow) throw this.odd();
    return root;
  }

  private odd(): NotPlain {
    const line = this.text.slice(0, this.at).split("\n").length;
    return new NotPlain(`Line ${line} is written in a way that can only be changed as text.`);
  }

  private column(): number {
    return this.at - (this.text.lastIndexOf("\n", this.at - 1) + 1);
  }

  private blanks(): void {
    while (this.text[this.at] === " ") ++this.at;
  }

  // Over blanks, comments and ends of lines.
  private skip(): void {
    for (;;) {
      const letter = this.text[this.at];
      if (letter === "#" && (this.at === 0 || /\s/.test(this.text[this.at - 1] ?? ""))) {
        const end = this.text.indexOf("\n", this.at);
        const stop = end < 0 ? this.text.length : end;
        this.comments.push({start: this.at, end: stop});
        this.at = stop;
      } else if (letter === "\t" && this.text.slice(this.text.lastIndexOf("\n", this.at - 1) + 1, this.at).trim() === "") {
        throw this.odd();
      } else if (letter === " " || letter === "\n" || letter === "\r" || letter === "\t") {
        ++this.at;
      } else {
        return;
      }
    }
  }

  private line_is_over(): boolean {
    return /^[ \t\r]*(#|\n|$)/.test(this.text.slice(this.at, this.at + 200)) && (this.text[this.at] !== "#" || /\s/.test(this.text[this.at - 1] ?? " "));
  }

  private is_dash(): boolean {
    return this.text[this.at] === "-" && /^[\s]?$/.test(this.text[this.at + 1] ?? "");
  }

  private block(): Node {
    if (++this.depth > kDeepest) throw this.odd();
    const node = this.is_dash() ? this.block_list() : this.block_map_or_leaf();
    --this.depth;
    return node;
  }

  private block_list(): List {
    const column = this.column();
    const list: List = {kind: "list", start: this.at, end: this.at, flow: false, items: []};
    while (this.at < this.text.length && this.column() === column && this.is_dash()) {
      ++this.at;
      this.blanks();
      if (this.line_is_over()) {
        this.skip();
        if (this.column() <= column) throw this.odd();
      }
      const item = this.block();
      list.items.push(item);
      list.end = item.end;
      this.skip();
      if (this.at < this.text.length && this.column() > column) throw this.odd();
    }
    return list;
  }

  private block_map_or_leaf(): Node {
    const column = this.column();
    const first = this.leaf(false);
    if (first.kind !== "scalar" || !this.is_colon()) return first;
    const map: Mapping = {kind: "map", start: first.start, end: first.end, flow: false, entries: []};
    let key: Node = first;
    for (;;) {
      ++this.at; // the colon
      const value = this.value_below(column);
      map.entries.push({key: key as Scalar, value});
      map.end = value?.end ?? key.end + 1;
      this.skip();
      if (this.at >= this.text.length || this.column() < column) return map;
      if (this.column() > column || this.is_dash()) throw this.odd();
      key = this.leaf(false);
      if (key.kind !== "scalar" || !this.is_colon()) throw this.odd();
    }
  }

  private value_below(column: number): Node | null {
    this.blanks();
    if (!this.line_is_over()) {
      const leaf = this.leaf(false);
      if (leaf.kind === "scalar" && this.is_colon()) throw this.odd();
      return leaf;
    }
    this.skip();
    if (this.at >= this.text.length) return null;
    if (this.column() > column || (this.column() === column && this.is_dash())) return this.block();
    return null;
  }

  private is_colon(): boolean {
    return this.text[this.at] === ":" && /^\s?$/.test(this.text[this.at + 1] ?? "");
  }

  // A scalar, or something in brackets.
  private leaf(in_flow: boolean): Node {
    const letter = this.text[this.at] ?? "";
    if (letter === "{" || letter === "[") return this.flow();
    if (letter === '"' || letter === "'") return this.quoted(letter);
    if (letter === "" || "&*!|>%@`?".includes(letter)) throw this.odd();
    const start = this.at;
    while (this.at < this.text.length) {
      const here = this.text[this.at] ?? "";
      if (here === "\n" || here === "\r" || this.is_colon() || (in_flow && ",[]{}".includes(here))) break;
      if (here === "#" && /\s/.test(this.text[this.at - 1] ?? "")) break;
      ++this.at;
    }
    let end = this.at;
    while (end > start && /[ \t]/.test(this.text[end - 1] ?? "")) --end;
    if (end === start) throw this.odd();
    this.at = end;
    this.blanks();
    if (!this.is_colon()) this.at = end;
    return {kind: "scalar", start, end, value: this.text.slice(start, end)};
  }

  private quoted(mark: string): Scalar {
    const start = this.at++;
    let value = "";
    for (;;) {
      const letter = this.text[this.at];
      if (letter === undefined || letter === "\n") throw this.odd();
      if (letter === mark && !(mark === "'" && this.text[this.at + 1] === "'")) break;
      if (mark === "'" && letter === "'") ++this.at;
      if (mark === '"' && letter === "\\") value += this.text[this.at++];
      value += this.text[this.at++];
    }
    ++this.at;
    const end = this.at;
    this.blanks();
    if (!this.is_colon()) this.at = end;
    return {kind: "scalar", start, end, value};
  }

  private flow(): Node {
    if (++this.depth > kDeepest) throw this.odd();
    const start = this.at;
    const is_map = this.text[this.at] === "{";
    const close = is_map ? "}" : "]";
    ++this.at;
    const entries: Entry[] = [];
    const items: Node[] = [];
    for (this.skip(); this.text[this.at] !== close; this.skip()) {
      const node = this.leaf(true);
      this.skip();
      if (is_map) {
        if (node.kind !== "scalar" || this.text[this.at] !== ":") throw this.odd();
        ++this.at;
        this.skip();
        const value = this.text[this.at] === "," || this.text[this.at] === close ? null : this.leaf(true);
        entries.push({key: node, value});
        this.skip();
      } else {
        items.push(node);
      }
      if (this.text[this.at] === ",") ++this.at;
      else if (this.text[this.at] !== close) throw this.odd();
    }
    const end = ++this.at;
    --this.depth;
    return is_map ? {kind: "map", start, end, flow: true, entries} : {kind: "list", start, end, flow: true, items};
  }
}

// Throws NotPlain.
export function outline(text: string): Outline {
  const reader = new Reader(text);
  const root = reader.whole();
  return {root, comments: reader.comments};
}

export function entry_of(map: Node | null | undefined, key: string): Entry | undefined {
  return map?.kind === "map" ? map.entries.find((entry) => entry.key.value === key) : undefined;
}

export function texts_of(list: Node | null | undefined): string[] {
  return list?.kind === "list" ? list.items.flatMap((item) => (item.kind === "scalar" ? [item.value] : [])) : [];
}

// Changes to a text, by places of the old one.
export class Changes {
  private readonly list: {start: number; end: number; by: string}[] = [];
  constructor(private readonly text: string, private readonly comments: Comment[]) {}

  replace(start: number, end: number, by: string): void {
    this.list.push({start, end, by});
  }

  private line_start(at: number): number {
    return this.text.lastIndexOf("\n", at - 1) + 1;
  }

  // After the last character of the line, its comment included.
  line_end(at: number): number {
    const end = this.text.indexOf("\n", at);
    return end < 0 ? this.text.length : end;
  }

  // A line of its own below the one at `at`.
  insert_line(at: number, line: string): void {
    const end = this.line_end(at);
    this.replace(end, end, `\n${line}`);
  }

  // Whole lines go; the comments on them stay, on lines of their own.
  remove_lines(start: number, end: number): void {
    const from = this.line_start(start);
    const to = Math.min(this.text.length, this.line_end(end) + 1);
    const indent = " ".repeat(start - from - (this.text.slice(from, start).match(/-\s*$/)?.[0].length ?? 0));
    const kept = this.comments.filter((comment) => comment.start >= from && comment.end <= to);
    this.replace(from, to, kept.map((comment) => `${indent}${this.text.slice(comment.start, comment.end)}\n`).join(""));
  }

  // One item of a list in brackets, with its comma.
  remove_item(list: List, index: number): void {
    const item = list.items[index];
    const next = list.items[index + 1];
    const before = list.items[index - 1];
    if (!item) return;
    const [start, end] = next ? [item.start, next.start] : before ? [before.end, item.end] : [item.start, item.end];
    if (this.comments.some((comment) => comment.start >= start && comment.end <= end))
      throw new NotPlain("A comment stands between these points: change it as text.");
    this.replace(start, end, "");
  }

  done(): string {
    let text = this.text;
    for (const {start, end, by} of [...this.list].sort((a, b) => b.start - a.start || b.end - a.end)) text = text.slice(0, start) + by + text.slice(end);
    return text;
  }
}
