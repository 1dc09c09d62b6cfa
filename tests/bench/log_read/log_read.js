// Reads one log by Laneside's reader and by readers in JavaScript, in turns, in the same page. log_read_browser.rs
// calls run() and prints what it returns.

import init, { Log, memory_bytes } from "./laneside_log_read.js";

const PIECE = 256 << 10;

// Each takes the file and gives the sums of its columns: numbers, not text, are what a chart needs. `alone` starts with
// the text in hand.
const readers = {
  laneside: { file: laneside },
  "uDSV, numbers": { text: udsvNumbers },
  "uDSV, text only": { text: udsvText },
  "d3-dsv, numbers": { text: d3Numbers },
  "d3-dsv, text only": { text: d3Text },
  "PapaParse, numbers": { text: papaNumbers },
  "PapaParse, text only": { text: papaText },
};

async function laneside(file) {
  const log = new Log(file.size);
  const reader = file.stream().getReader();
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return Array.from(log.finish());
    log.feed(value);
  }
}

// The same without the browser's stream: how long the module itself takes.
function lanesideAlone(bytes) {
  const log = new Log(bytes.length);
  for (let at = 0; at < bytes.length; at += PIECE) log.feed(bytes.subarray(at, at + PIECE));
  return Array.from(log.finish());
}

const sums = (rows, from, value) => {
  const found = new Array(rows[from].length).fill(0);
  for (let row = from; row < rows.length; row++) {
    for (let column = 0; column < found.length; column++) found[column] += value(rows[row][column]);
  }
  return found;
};

function udsvNumbers(text) {
  const { inferSchema, initParser } = globalThis.uDSV;
  return { rows: initParser(inferSchema(text)).typedArrs(text), from: 0 };
}

function udsvText(text) {
  const { inferSchema, initParser } = globalThis.uDSV;
  return { rows: initParser(inferSchema(text)).stringArrs(text), from: 0 };
}

function d3Numbers(text) {
  return { rows: d3.csvParseRows(text, (row, at) => (at === 0 ? row : row.map(Number))), from: 1 };
}

function d3Text(text) {
  return { rows: d3.csvParseRows(text), from: 1 };
}

function papaNumbers(text) {
  return { rows: Papa.parse(text, { dynamicTyping: true, skipEmptyLines: true }).data, from: 1 };
}

function papaText(text) {
  return { rows: Papa.parse(text, { skipEmptyLines: true }).data, from: 1 };
}

globalThis.run = async (rounds) => {
  await init();
  const response = await fetch("log.csv");
  const file = await response.blob();
  const bytes = new Uint8Array(await file.arrayBuffer());
  const text = new TextDecoder().decode(bytes);
  const taken = {};
  const note = (name, milliseconds) => (taken[name] ??= []).push(milliseconds);
  const found = {};
  const before = memory_bytes();
  for (let round = 0; round < rounds; round++) {
    for (const [name, { file: fromFile, text: fromText }] of Object.entries(readers)) {
      await new Promise((done) => setTimeout(done, 50));
      let start = performance.now();
      if (fromFile) {
        found[name] = await fromFile(file);
        note(`${name}, from the file`, performance.now() - start);
        start = performance.now();
        lanesideAlone(bytes);
        note(`${name}, bytes in hand`, performance.now() - start);
      } else {
        let read = fromText(await file.text());
        note(`${name}, from the file`, performance.now() - start);
        found[name] ??= sums(read.rows, read.from, Number);
        read = null;
        start = performance.now();
        read = fromText(text);
        note(`${name}, text in hand`, performance.now() - start);
      }
    }
  }
  return { bytes: file.size, memory: memory_bytes() - before, taken, found };
};
globalThis.ready = true;
