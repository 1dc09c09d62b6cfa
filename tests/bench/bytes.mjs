// Prints what a first visit brings over the wire: node tests/bench/bytes.mjs DIR
//
// Every file of the build once, compressed where the build has a compressed copy.

import { existsSync, readdirSync, statSync } from "node:fs";
import { join, relative } from "node:path";

const root = process.argv[2];
const size = (path) => statSync(path).size;
const rows = readdirSync(root, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && !entry.name.endsWith(".br"))
  .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
  .map((path) => ({
    name: relative(root, path),
    plain: size(path),
    wire: size(existsSync(`${path}.br`) ? `${path}.br` : path),
  }))
  .sort((a, b) => b.wire - a.wire);
rows.push({
  name: "total",
  plain: rows.reduce((sum, { plain }) => sum + plain, 0),
  wire: rows.reduce((sum, { wire }) => sum + wire, 0),
});
for (const { name, plain, wire } of rows) {
  console.log(`${String(wire).padStart(9)} ${String(plain).padStart(9)}  ${name}`);
}
