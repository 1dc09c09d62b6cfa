// Prints what a first visit brings over the wire: node tests/bench/bytes.mjs DIR
//
// Every file of the build once, compressed where the build has a compressed copy. The words of a second language are
// listed and not added up: they are loaded where it is spoken.

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
const everywhere = rows.filter(({ name }) => !name.startsWith("words-"));
rows.push({
  name: "total",
  plain: everywhere.reduce((sum, { plain }) => sum + plain, 0),
  wire: everywhere.reduce((sum, { wire }) => sum + wire, 0),
});
for (const { name, plain, wire } of rows) {
  console.log(`${String(wire).padStart(9)} ${String(plain).padStart(9)}  ${name}`);
}
