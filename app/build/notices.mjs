// Collects the license notices of all that is linked into the app, as one text.
//
// finish.mjs calls it. Whoever passes the app on has to pass these on with it.

import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";

const MIT = `Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the "Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions:

The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.

THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.`;

const metadata = () => {
  const more = ["--format-version=1", "--locked", "--filter-platform=wasm32-unknown-unknown"];
  return JSON.parse(execFileSync("cargo", ["metadata", ...more], { maxBuffer: 1 << 28, stdio: ["ignore", "pipe", "ignore"] }));
};

/** The packages linked into the app, those that only run while it is built left out. */
function linked({ packages, resolve }) {
  const byId = new Map(packages.map((one) => [one.id, one]));
  const nodes = new Map(resolve.nodes.map((node) => [node.id, node]));
  const found = new Set();
  const open = [packages.find(({ name }) => name === "laneside-app").id];
  while (open.length > 0) {
    const id = open.pop();
    if (found.has(id)) continue;
    found.add(id);
    const isLinked = ({ pkg, dep_kinds }) =>
      dep_kinds.some(({ kind }) => kind === null) &&
      !byId.get(pkg).targets.some(({ kind }) => kind.includes("proc-macro"));
    open.push(...nodes.get(id).deps.filter(isLinked).map(({ pkg }) => pkg));
  }
  return [...found].map((id) => byId.get(id)).filter(({ source }) => source);
}

/** Who holds the copyright, and the terms; MIT is taken wherever it is offered. */
function terms({ name, version, license, authors, manifest_path }) {
  const folder = dirname(manifest_path);
  const files = readdirSync(folder).filter((file) => /^(licen[sc]e|copying|unlicense)/i.test(file));
  const file = files.find((file) => /mit/i.test(file)) ?? files.find((file) => !/apache/i.test(file)) ?? files[0];
  const text = file ? readFileSync(join(folder, file), "utf8") : "";
  const isHolder = (line) => /^\s*(copyright\s+(\(c\)|©|\d|the\b)|\(c\)|©)|^\s*copyright and permission/i.test(line);
  const holders = text.split("\n").filter(isHolder).map((line) => line.trim());
  if (!file && !/\bMIT\b/.test(license)) throw new Error(`no license text for ${name} ${version}: ${license}`);
  const body = text.split(/\n\s*\n/).map((part) =>
    part
      .split("\n")
      .filter((line) => !isHolder(line))
      .join(" ")
      .replace(/\s+/g, " ")
      .trim(),
  );
  // Headings differ where the terms do not.
  const plain = body.filter((part) => part && !/^#*\s*\(?(the )?mit license( \(mit\))?\)?$/i.test(part)).join("\n\n");
  const isMit = !file || /^Permission is hereby granted, free of charge/.test(plain);
  return {
    name: `${name} ${version}`,
    holder: holders.join("; ") || `Copyright ${authors.join(", ").replace(/ *<[^>]*>/g, "") || "its authors"}`,
    text: isMit ? MIT : plain,
  };
}

/** The notices, those of equal terms together. */
export function notices() {
  const groups = new Map();
  const all = linked(metadata()).map(terms);
  all.push({ name: "Rust standard library", holder: "Copyright The Rust Project Contributors", text: MIT });
  for (const { name, holder, text } of all.sort((a, b) => (a.name < b.name ? -1 : 1))) {
    groups.set(text, [...(groups.get(text) ?? []), `${name}: ${holder}`]);
  }
  const parts = [...groups].sort((a, b) => b[1].length - a[1].length);
  return parts.map(([text, names]) => `${names.join("\n")}\n\n${text}\n`).join("\n----\n\n");
}
