// Watches over the start and the run of the app, apart from all that may fail in it: nobody is left with a dead page.
//
//   - A version that does not start is told to the service worker. Where that still has the version before it, the page
//     is loaded again in that one; <html data-update="back"> says so to the app.
//   - Otherwise, and when the app stops in the middle, a sheet says what happened, and gives out all that is kept.
//   - A start is good when the app has run for a second: the worker then lets go of the version before.

const RAN_WELL = 1000;
// A phone may be busy: the worker starts first, and looks through its files.
const LONGEST_WAIT = 10_000;
const BACK = "laneside.back";
const ENGLISH = [
  "Laneside has stopped.",
  "Something went wrong in the app itself. Your cars are saved on this phone as they were before the last entry.",
  "Load again",
  "Save everything as a text file",
  "Load again with no car open",
];
const SPANISH = [
  "Laneside se ha detenido.",
  "Algo falló en la propia aplicación. Tus autos están guardados en este teléfono como estaban antes de la última entrada.",
  "Cargar de nuevo",
  "Guardar todo como archivo de texto",
  "Cargar de nuevo sin ningún auto abierto",
];

const root = document.documentElement;
// The worker of the version that this page was loaded from, not one that takes over later.
const worker = navigator.serviceWorker?.controller;
let started = false;
let failed = false;

const kept = (use) => {
  try {
    return use(localStorage);
  } catch {
    return null;
  }
};

if (kept((storage) => storage.getItem(BACK))) root.dataset.update = "back";

addEventListener("laneside-running", () =>
  setTimeout(() => {
    if (failed) return;
    started = true;
    worker?.postMessage("good");
  }, RAN_WELL),
);

// A trap of the module: a panic, or no memory left.
const isTrap = (error) => error instanceof WebAssembly.RuntimeError || error instanceof RangeError;
const fail = (error, isScript) => {
  if (failed || !(isTrap(error) || (!started && (error instanceof Error || isScript)))) return;
  failed = true;
  if (started) sheet();
  else goBack().then((isBack) => (isBack ? location.reload() : sheet()), sheet);
};
addEventListener("error", (event) => fail(event.error, event.target instanceof HTMLScriptElement), true);
addEventListener("unhandledrejection", (event) => fail(event.reason));

/** Whether the worker serves another version from now on. */
async function goBack() {
  if (!worker) return false;
  const { port1, port2 } = new MessageChannel();
  const answer = new Promise((resolve) => {
    port1.onmessage = (event) => resolve(event.data);
    setTimeout(resolve, LONGEST_WAIT, false);
  });
  worker.postMessage("failed", [port2]);
  const isBack = await answer;
  if (isBack) kept((storage) => storage.setItem(BACK, "1"));
  return isBack;
}

function sheet() {
  const words = (root.lang || navigator.language).startsWith("es") ? SPANISH : ENGLISH;
  const make = (tag, text, onclick) => {
    const element = document.createElement(tag);
    return Object.assign(element, { textContent: text, onclick });
  };
  const dialog = make("dialog");
  dialog.className = "stopped";
  const load = make("button", words[2], () => location.reload());
  const save = make("button", words[3], download);
  const none = make("button", words[4], () => {
    // No car has the number 0.
    kept((storage) => storage.setItem("laneside.open", "0"));
    location.hash = "#/cars";
    location.reload();
  });
  for (const button of [load, save, none]) button.className = "button";
  dialog.oncancel = (event) => event.preventDefault();
  dialog.append(make("h2", words[0]), make("p", words[1]), load, save, none);
  document.body.append(dialog);
  dialog.showModal();
}

/** Everything that is kept, as it is. */
async function download() {
  const entries = kept((storage) => Object.entries({ ...storage })) ?? [];
  const own = entries.filter(([key]) => key.startsWith("laneside."));
  const all = { format: "laneside-raw", version: 1, entries: own, passes: await passes().catch(() => []) };
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(all)], { type: "text/plain" }));
  link.download = "laneside.txt";
  link.click();
}

/** Kept passes, spare copies and cars that wait to be kept: `[owner, number]` with each text. */
function passes() {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open("laneside");
    // To open it is not to make it.
    opening.onupgradeneeded = () => opening.transaction.abort();
    opening.onerror = reject;
    opening.onsuccess = () => {
      const texts = opening.result.transaction("passes").objectStore("passes");
      const found = [];
      texts.openCursor().onsuccess = ({ target: { result } }) => {
        if (!result) return resolve(found);
        found.push([result.key, result.value]);
        result.continue();
      };
    };
  });
}
