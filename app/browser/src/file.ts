// Files in and out: chosen by hand, and saved as a download.
import type {Files} from "./engine.js";

const kMost = 1_000_000; // letters; a netlist has thousands

// Throws where one is too large.
export async function read_files(list: FileList): Promise<Files> {
  const files: Files = {};
  for (const file of list) {
    if (file.size > kMost) throw new Error(`${file.name} is too large: ${Math.round(file.size / 1000)} kB; at most 1000 kB`);
    files[file.name] = await file.text();
  }
  return files;
}

export function save_file(name: string, text: string, type = "application/yaml"): void {
  const address = URL.createObjectURL(new Blob([text], {type: `${type};charset=utf-8`}));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

export function is_record(text: string): boolean {
  return /^\s*(#.*\s*)*lugwise-readings\s*:/.test(text) || /^lugwise-readings\s*:/m.test(text);
}

// The netlist that a record names, without its folder.
export function harness_named_in(record: string): string {
  const found = /^harness\s*:\s*(?:"([^"]*)"|'([^']*)'|([^#\n]*))/m.exec(record);
  const path = (found?.[1] ?? found?.[2] ?? found?.[3] ?? "").trim();
  return path.split(/[\\/]/).pop() ?? "";
}
