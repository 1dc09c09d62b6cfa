// Runs the app's module beside the page, to read a log while the page stays alive: the module finds
// out by itself where it runs. The page names script, module and words in the address, since their
// names hold a hash of what is in them.

const [, script, module, words, comma] = location.hash.split("#");
const [{ default: start }, text] = await Promise.all([
  import(script),
  words ? fetch(words).then((response) => response.text()) : "",
]);
globalThis.laneside = { words: text, comma: Boolean(comma) };
await start({ module_or_path: module });
