// Runs the app's module beside the page, to read a log while the page stays alive: the module finds
// out by itself where it runs. The page names script and module in the address, since their names
// hold a hash of what is in them.

const [, script, module] = location.hash.split("#");
const { default: start } = await import(script);
await start({ module_or_path: module });
