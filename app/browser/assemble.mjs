// Bundles the page's parts into one HTML file and tells the browser by their hashes which scripts may run.
import {createHash} from "node:crypto";
import {readdirSync, readFileSync, writeFileSync} from "node:fs";
import {dirname, join, relative} from "node:path";
import {fileURLToPath} from "node:url";
import {gzipSync} from "node:zlib";
import {buildSync, transformSync} from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const engine = process.env.ENGINE;
const packed = (bytes) => gzipSync(bytes, {level: 9}).toString("base64");

function bundled(file) {
  const [out] = buildSync({entryPoints: [join(here, "src", file)], bundle: true, minify: true, format: "iife", target: "es2022", write: false}).outputFiles;
  return out.text.trim().replaceAll("</script", "<\\/script");
}

// The worked netlists with what they include, by their path from harnesses/.
function worked(folder, found = {}) {
  const top = join(here, "../../harnesses");
  for (const entry of readdirSync(folder, {withFileTypes: true})) {
    const path = join(folder, entry.name);
    if (entry.isDirectory() && entry.name === "parts") worked(path, found);
    else if (entry.name.endsWith(".yaml")) found[relative(top, path)] = readFileSync(path, "utf8");
  }
  return found;
}

const script = bundled("main.ts");
const policy = [
  "default-src 'none'",
  `script-src 'sha256-${createHash("sha256").update(script).digest("base64")}' 'wasm-unsafe-eval'`,
  "worker-src blob:", "style-src 'unsafe-inline'", "img-src data: blob:", "base-uri 'none'", "form-action 'none'",
].join("; ");
const parts = {
  policy,
  script,
  style: transformSync(readFileSync(join(here, "page.css"), "utf8"), {loader: "css", minify: true}).code.trim(),
  worked: packed(JSON.stringify(worked(join(here, "../../harnesses")))),
  "engine-code": packed(`${readFileSync(join(engine, "engine.js"), "utf8")}\n${bundled("engine_worker.ts")}`),
  "engine-program": packed(readFileSync(join(engine, "engine.wasm"))),
};
const text = readFileSync(join(here, "page.html"), "utf8").replace(/@([a-z-]+)@/g, (_, name) => parts[name]);
writeFileSync(process.argv[2], text);
console.log(`${process.argv[2]}: ${Math.round(text.length / 1000)} kB`);
