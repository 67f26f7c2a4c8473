// The engine: the same C++ as the command line's, in a worker, text in and JSON out.
import {unpack} from "./packing.js";

export type Files = Record<string, string>;

export interface Control {
  name: string;
  kind: string;
  places: string[]; // of a switch or jack; empty for a pot, which goes from 0 to 10
  rests: string;
}

export interface Place {
  name: string;
  words: string;
}

export interface Description {
  exit: number;
  name: string;
  about: string;
  parts: {name: string; kind: string}[];
  wires: string[];
  controls: Control[];
  points: Place[];
}

export interface Problem {
  code: string;
  message: string;
  file: string;
  line: number | null;
  column: number | null;
  notes: {message: string}[];
}

export interface Ran {
  exit: number;
  out: string;
  err: string;
  files?: Files;
}

export interface Opened {
  exit: number;
  err: string;
  session: SessionState | null;
  record: string;
}

// What `guide --json` says.
export interface Shows {
  low: string;
  nominal: string;
  high: string;
  range: string;
}

export type Setting = Record<string, number | string>;

export interface Ask {
  kind: "begin" | "prepare" | "step" | "probe" | "again" | "recheck" | "verdict" | "finished";
  step?: number | null;
  do?: string;
  tips?: boolean;
  say?: string;
  set?: Setting;
  cover?: string;
  between?: [string, string];
  shows?: Shows | string;
  range?: string | null;
  notes?: string[];
  sweep?: string;
  wiggle?: string[];
  lifted?: string[];
  work?: string; // a control to be worked before
  cable?: string; // "another"
}

export interface Suspect {
  fault: {mode: string; element: string; points: string[]; id: string};
  probability: number;
  group: number;
  say: string;
  mend?: string;
}

export interface SessionState {
  harness: {name: string | null; file: string; id: string};
  meter: {ranges: number[]; auto: boolean};
  warnings: Problem[];
  errors?: Problem[];
  reply: string;
  problem: string | null;
  hint: string | null;
  reading: {reads: string; between: [string, string]; set?: Setting; agrees: boolean; off: number; say: string} | null;
  verdict: "sound" | "fault" | "unsure" | "unfinished";
  sound: number;
  suspects: Suspect[];
  advice: string;
  before: string[];
  ask: Ask;
}

export interface Edited {
  text: string;
  errors: Problem[];
}

type Request =
  | {do: "run"; arguments: string[]; files: Files; input?: string}
  | {do: "open"; files: Files; harness: string; record: string; heard: string[]; depth: string; meter: string}
  | {do: "say"; line: string}
  | {do: "edit"; text: string; edit: Record<string, unknown>}
  | {do: "describe"; files: Files; harness: string};

// What is embedded in the page under this id.
function embedded(id: string): string {
  return document.getElementById(id)?.textContent?.trim() ?? "";
}

// The same, unpacked; empty where the page has nothing there.
export async function unpacked(id: string): Promise<string> {
  const packed = embedded(id);
  return packed === "" ? "" : new TextDecoder().decode(await unpack(packed));
}

interface Waiting {
  resolve: (text: string) => void;
  reject: (why: Error) => void;
}

export class Engine {
  private worker: Worker | null = null;
  private readonly waiting = new Map<number, Waiting>();
  private last = 0;
  private constructor(private readonly code: string, private readonly program: string) {
    this.start();
  }

  // The first question may be put at once; it is answered when the program is unpacked.
  static async load(): Promise<Engine> {
    return new Engine(await unpacked("engine-code"), embedded("engine-program"));
  }

  private start(): void {
    const address = URL.createObjectURL(new Blob([this.code], {type: "text/javascript"}));
    const worker = new Worker(address);
    worker.onmessage = (event: MessageEvent<{id: number; text?: string; failure?: string}>) => {
      const {id, text, failure} = event.data;
      const waiting = this.waiting.get(id);
      this.waiting.delete(id);
      if (text !== undefined) waiting?.resolve(text);
      else {
        waiting?.reject(new Error(failure ?? "The engine failed."));
        this.restart("The engine was started anew.");
      }
    };
    worker.onerror = (event) => this.restart(event.message || "The engine failed.");
    worker.postMessage({program: this.program});
    this.worker = worker;
  }

  // What it was asked is lost, nothing that was kept is.
  private restart(why: string): void {
    this.worker?.terminate();
    for (const waiting of this.waiting.values()) waiting.reject(new Error(why));
    this.waiting.clear();
    this.start();
  }

  async ask<Answer>(request: Request): Promise<Answer> {
    const id = ++this.last;
    const text = await new Promise<string>((resolve, reject) => {
      this.waiting.set(id, {resolve, reject});
      this.worker?.postMessage({id, text: JSON.stringify(request)});
    });
    const answer = JSON.parse(text) as Answer & {failure?: string};
    if (answer.failure !== undefined) throw new Error(`The engine failed: ${answer.failure}`);
    return answer;
  }

  run(words: string[], files: Files, input?: string): Promise<Ran> {
    return this.ask<Ran>({do: "run", arguments: words, files, ...(input === undefined ? {} : {input})});
  }
}
