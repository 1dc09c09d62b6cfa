// Finishes a build: shortens the module, minifies scripts and styles, writes the words of each language, and the service
// worker with the hash of every output file, and puts a brotli-compressed copy beside each file worth compressing.
//
// Trunk runs it after each build. `node app/build/finish.mjs DIR` does it again for a finished
// build in DIR, without minifying.

import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { extname, join, relative, sep } from "node:path";
import { brotliCompressSync, constants } from "node:zlib";
import { catalogs } from "./catalogs.mjs";
import { notices } from "./notices.mjs";
import { shortNames, shortenModule, shortenScript } from "./shorten.mjs";

const WORKER = "service-worker.js";
const COMPRESSIBLE = new Set([".css", ".html", ".js", ".json", ".svg", ".txt", ".wasm", ".webmanifest"]);

const profile = process.env.TRUNK_PROFILE;
const root = process.argv[2] ?? process.env.TRUNK_STAGING_DIR;
if (!root) {
  console.error("finish.mjs: name the folder of the build");
  process.exit(1);
}

const sha256 = (data) => createHash("sha256").update(data);
const minify = (paths) =>
  profile === "release" &&
  execFileSync("esbuild", [
    ...paths.map((path) => join(root, path)),
    "--minify",
    "--target=es2022",
    "--allow-overwrite",
    `--outdir=${root}`,
    `--outbase=${root}`,
    "--log-level=warning",
  ]);
const outputs = () =>
  readdirSync(root, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(root, join(entry.parentPath ?? entry.path, entry.name)))
    .sort();

for (const path of outputs()) {
  if (path === WORKER || extname(path) === ".br") rmSync(join(root, path));
}

if (profile === "release") {
  for (const module of outputs().filter((path) => path.endsWith("_bg.wasm"))) {
    const [wasm, glue] = [module, module.replace(/_bg\.wasm$/, ".js")].map((path) => join(root, path));
    const script = readFileSync(glue, "utf8");
    const names = shortNames(script);
    writeFileSync(glue, shortenScript(script, names));
    writeFileSync(wasm, shortenModule(readFileSync(wasm), names));
    // What nothing exports any more goes.
    execFileSync("wasm-opt", ["-Oz", wasm, "-o", wasm]);
  }
}
minify(outputs().filter((path) => [".css", ".js"].includes(extname(path))));

// The words of each language: a file that only who speaks it loads, named in the page with its hash.
// A finished build that is done again keeps its own.
if (!process.argv[2]) {
  writeFileSync(join(root, "notices.txt"), notices());
  const links = catalogs().map(({ language, text }) => {
    const hash = sha256(text).digest();
    const path = `words-${language}-${hash.toString("hex").slice(0, 16)}.txt`;
    writeFileSync(join(root, path), text);
    const integrity = `sha256-${hash.toString("base64")}`;
    return `<link rel="alternate" hreflang="${language}" href="./${path}" integrity="${integrity}">`;
  });
  const page = join(root, "index.html");
  writeFileSync(page, readFileSync(page, "utf8").replace("</head>", `${links.join("")}</head>`));
}

const files = outputs().map((path) => ({
  path: path.split(sep).join("/"),
  hash: sha256(readFileSync(join(root, path))).digest("base64"),
}));
const page = files.find(({ path }) => path === "index.html");
if (!page) {
  console.error(`finish.mjs: no index.html in ${root}`);
  process.exit(1);
}
const WORDS = /^words-(\w+)-[0-9a-f]+\.txt$/;
const list = [
  ...files.filter((file) => file !== page && !WORDS.test(file.path)).map(({ path, hash }) => [path, hash]),
  ["./", page.hash],
];
const words = Object.fromEntries(
  files
    .filter(({ path }) => WORDS.test(path))
    .map(({ path, hash }) => [path.match(WORDS)[1], [path, hash]]),
);

const template = readFileSync(new URL(WORKER, import.meta.url), "utf8");
// The worker's own text counts: a worker that differs never shares a cache with another.
const version = sha256(template + JSON.stringify([list, words])).digest("hex").slice(0, 16);
writeFileSync(
  join(root, WORKER),
  template
    .replace("@VERSION@", version)
    .replace('"@FILES@"', JSON.stringify(list))
    .replace('"@WORDS@"', JSON.stringify(words)),
);
minify([WORKER]);

if (profile !== "debug") {
  for (const path of outputs().filter((path) => COMPRESSIBLE.has(extname(path)))) {
    const data = readFileSync(join(root, path));
    const small = brotliCompressSync(data, {
      params: {
        [constants.BROTLI_PARAM_QUALITY]: 11,
        [constants.BROTLI_PARAM_LGWIN]: 24,
        [constants.BROTLI_PARAM_SIZE_HINT]: data.length,
      },
    });
    if (small.length < data.length) writeFileSync(join(root, `${path}.br`), small);
  }
}
console.log(`laneside: version ${version}, ${list.length} files stored for use without signal`);
