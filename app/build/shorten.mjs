// Makes the WebAssembly module and the script beside it smaller where no optimizer looks.
//
// The names that the two call each other by end in a hash: bytes that do not compress. And crates
// linked in export classes for a server's byte streams, with all that belongs to them, which no
// page of this app ever makes.

const UNUSED = /^(__wbg_)?intounderlying/;
const HASHED = /^__wb(g|indgen)_\w+_?[0-9a-f]{16}$/;
const IMPORTS = 2;
const EXPORTS = 7;
const MAGIC_BYTES = 8;
const KIND = { function: 0, table: 1, memory: 2, global: 3 };

class Reader {
  constructor(bytes, at = 0) {
    Object.assign(this, { bytes, at });
  }
  byte() {
    return this.bytes[this.at++];
  }
  number() {
    let [value, shift, byte] = [0, 0, 0x80];
    for (; byte & 0x80; shift += 7) {
      byte = this.byte();
      value += (byte & 0x7f) * 2 ** shift;
    }
    return value;
  }
  take(length) {
    this.at += length;
    return this.bytes.subarray(this.at - length, this.at);
  }
  text() {
    return this.take(this.number()).toString();
  }
  limits() {
    const has_most = this.number() & 1;
    this.number();
    if (has_most) this.number();
  }
  // What an import is, passed over.
  description() {
    const kind = this.byte();
    if (kind === KIND.function) this.number();
    else if (kind === KIND.memory) this.limits();
    else if (kind === KIND.global) this.take(2);
    else if (kind === KIND.table) {
      this.byte();
      this.limits();
    } else throw new Error(`import of an unknown kind: ${kind}`);
  }
}

function number(value) {
  const bytes = [];
  for (; value > 0x7f; value = Math.floor(value / 128)) bytes.push((value & 0x7f) | 0x80);
  return Buffer.from([...bytes, value]);
}

const text = (value) => Buffer.concat([number(Buffer.byteLength(value)), Buffer.from(value)]);

function sections(wasm) {
  const reader = new Reader(wasm, MAGIC_BYTES);
  const found = [];
  while (reader.at < wasm.length) {
    const id = reader.byte();
    found.push({ id, body: reader.take(reader.number()) });
  }
  return found;
}

function imports(body) {
  const reader = new Reader(body);
  return Array.from({ length: reader.number() }, () => {
    const [module, name] = [reader.text(), reader.text()];
    const start = reader.at;
    reader.description();
    return { module, name, what: body.subarray(start, reader.at) };
  });
}

function exports(body) {
  const reader = new Reader(body);
  return Array.from({ length: reader.number() }, () => {
    const name = reader.text();
    const start = reader.at;
    reader.byte();
    reader.number();
    return { name, what: body.subarray(start, reader.at) };
  });
}

// The short name of each hashed one. By alphabet, not by place: a script that stays the same keeps
// its names, whatever becomes of the module.
export function shortNames(script) {
  const names = [...new Set(script.match(/\b__wb\w+/g))].filter((name) => HASHED.test(name)).sort();
  return new Map(names.map((name, at) => [name, `_${at.toString(36)}`]));
}

export const shortenScript = (script, names) =>
  script.replace(/\b__wb\w+/g, (name) => names.get(name) ?? name);

export function shortenModule(wasm, names) {
  const rewritten = sections(wasm).map(({ id, body }) => {
    let list;
    if (id === IMPORTS)
      list = imports(body).map(({ module, name, what }) => [
        text(module),
        text(names.get(name) ?? name),
        what,
      ]);
    else if (id === EXPORTS)
      list = exports(body)
        .filter(({ name }) => !UNUSED.test(name))
        .map(({ name, what }) => [text(name), what]);
    const data = list ? Buffer.concat([number(list.length), ...list.flat()]) : body;
    return Buffer.concat([Buffer.from([id]), number(data.length), data]);
  });
  return Buffer.concat([wasm.subarray(0, MAGIC_BYTES), ...rewritten]);
}
