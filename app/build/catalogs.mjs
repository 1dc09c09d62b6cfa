// Reads the catalogs of words (PO, the format of GNU gettext) and writes each as the app takes it: a line a message,
// English and translation parted by a tab, sorted by the English. What is not translated is left out: it stays English.

import { readFileSync, readdirSync } from "node:fs";

const FOLDER = new URL("../words/", import.meta.url);
const CONTEXT_END = "\u0004";
const ESCAPED = { n: "\n", '"': '"', "\\": "\\" };

function messages(po) {
  const found = [];
  for (const block of po.split(/\n{2,}/).slice(1)) {
    const message = {};
    let into;
    for (const line of block.split("\n").filter((line) => line && !line.startsWith("#"))) {
      const [, word, quoted] = line.match(/^(\w*) ?"(.*)"$/);
      into = word || into;
      message[into] = (message[into] ?? "") + quoted.replace(/\\(.)/g, (_, c) => ESCAPED[c]);
    }
    const context = message.msgctxt ? message.msgctxt + CONTEXT_END : "";
    if (message.msgstr) found.push([context + message.msgid, message.msgstr]);
  }
  return found;
}

/** Each language with its words. */
export const catalogs = () =>
  readdirSync(FOLDER)
    .filter((name) => name.endsWith(".po"))
    .map((name) => {
      const lines = messages(readFileSync(new URL(name, FOLDER), "utf8"))
        // By bytes, as the app compares.
        .sort(([a], [b]) => Buffer.compare(Buffer.from(a), Buffer.from(b)))
        .map((message) => message.join("\t"));
      if (lines.some((line) => line.includes("\n"))) throw new Error(`${name}: a message of two lines`);
      return { language: name.replace(".po", ""), text: lines.join("\n") };
    });
