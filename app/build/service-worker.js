// Serves the whole app without signal. One version is one cache, filled whole or not used.
//
// The version before is kept until this one has run well once. If this one does not start, which its page tells or
// three starts without a word show, the version before is served, until a newer worker comes.
//
// finish.mjs fills in the three constants from the bytes of the build's output.
const VERSION = "@VERSION@";
/** Path and base64 SHA-256 of each file; the page itself is "./" and comes last. */
const FILES = "@FILES@";
/** The words of each language but English, likewise: kept once that language is in use. */
const WORDS = "@WORDS@";

const scope = new URL("./", location.href).href;
// The path, closed by a blank that no path holds: another copy of the app beside this one on the same
// host has caches of its own.
const PREFIX = `laneside ${new URL(scope).pathname} `;
const OWN = PREFIX + VERSION;
const pages = [scope, scope + "index.html"];
const exact = { ignoreVary: true };
// What is known of a version, in its cache beside its files.
const [GOOD, BROKEN, STARTS] = ["?good", "?broken", "?starts"].map((mark) => scope + mark);
const MOST_STARTS = 3;
/** The cache that is served from, once it is known. */
let served;

addEventListener("install", (event) => event.waitUntil(fill()));
addEventListener("activate", (event) => event.waitUntil(takeOver()));
addEventListener("message", (event) => {
  if (event.data === "accept") skipWaiting();
  if (event.data === "good") event.waitUntil(ranWell());
  if (event.data === "failed") event.waitUntil(giveUp().then((isBack) => event.ports[0].postMessage(isBack)));
  const words = WORDS[event.data.speak];
  if (words) event.waitUntil(keep(words));
});
addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  if (method !== "GET" || !url.startsWith(scope)) return;
  const page = pages.includes(url.split(/[?#]/)[0]);
  // Nothing but the page is opened as one: any other address beside it belongs to the host.
  if (mode === "navigate" && !page) return;
  event.respondWith(answer(page ? scope : event.request, event.request));
});

async function ownCaches() {
  return (await caches.keys()).filter((name) => name.startsWith(PREFIX));
}

/** Rejects, and so gives this version up, when any file is missing or differs from its hash. */
async function fill() {
  const cache = await caches.open(OWN);
  const stored = await Promise.all((await ownCaches()).map((name) => caches.open(name)));
  const store = async ([path, hash]) => {
    const url = new URL(path, scope).href;
    await cache.put(url, (await reuse(stored, url, hash)) ?? (await download(url, hash)));
  };
  await Promise.all([...FILES.slice(0, -1), ...(await wordsInUse(stored))].map(store));
  // The page is stored last: while it is missing, nothing leads to the rest.
  await store(FILES.at(-1));
}

/** This version's words of the languages that a version before it kept words of. */
async function wordsInUse(stored) {
  const kept = (await Promise.all(stored.map((cache) => cache.keys()))).flat();
  const isKept = ([language]) =>
    kept.some(({ url }) => url.startsWith(new URL(`words-${language}-`, scope).href));
  return Object.entries(WORDS).filter(isKept).map(([, words]) => words);
}

/** Without signal it fails, and is tried again when the page is opened next. */
async function keep([path, hash]) {
  const cache = await caches.open(OWN);
  const url = new URL(path, scope).href;
  if (!(await cache.match(url, exact))) await cache.put(url, await download(url, hash));
}

/** A file that did not change since an earlier version costs no signal. */
async function reuse(stored, url, hash) {
  for (const cache of stored) {
    const response = await cache.match(url, exact);
    if (!response) continue;
    const digest = await crypto.subtle.digest("SHA-256", await response.clone().arrayBuffer());
    if (btoa(String.fromCharCode(...new Uint8Array(digest))) === hash) return response;
  }
}

async function download(url, hash) {
  const integrity = "sha256-" + hash;
  const response = await fetch(url, { cache: "no-cache", integrity })
    // A spoilt copy in the browser's own cache would otherwise be confirmed for ever.
    .catch(() => fetch(url, { cache: "reload", integrity }));
  if (!response.ok) throw new Error(`${response.status} for ${url}`);
  // Made anew: a stored response that was redirected may not answer a navigation.
  const type = response.headers.get("content-type") ?? "application/octet-stream";
  return new Response(await response.blob(), { headers: { "content-type": type } });
}

async function takeOver() {
  served = undefined;
  await clients.claim();
}

const mark = (cache, url, text) => cache.put(url, new Response(text));

async function isWhole(cache) {
  const kept = new Set((await cache.keys()).map(({ url }) => url));
  return FILES.every(([path]) => kept.has(new URL(path, scope).href));
}

/** This version has run: the ones before are not needed any more. */
async function ranWell() {
  const own = await caches.open(OWN);
  // The page that ran may be the one before, to which this version went back.
  if (await own.match(BROKEN)) return;
  // Or one that came over the network, because files were lost: they are fetched again, or at a later start with signal.
  if (!(await isWhole(own))) return fill().catch(() => {});
  await mark(own, GOOD);
  const tabs = await clients.matchAll({ type: "window", includeUncontrolled: true });
  // A second tab may still run the version before: it keeps its files until the next start.
  if (tabs.length > 1) return;
  const old = (await ownCaches()).filter((name) => name !== OWN);
  // A newer version that is on its way, or waits, needs what it has stored so far. It is not among these if it came
  // since they were listed.
  if (registration.installing || registration.waiting) return;
  await Promise.all(old.map((name) => caches.delete(name)));
}

/** Whether there is a version to go back to from this one, which did not start. */
async function giveUp() {
  const own = await caches.open(OWN);
  const isLost = (await own.match(GOOD)) || (await own.match(BROKEN)) || !(await before());
  if (!isLost) await mark(own, BROKEN);
  served = undefined;
  return !isLost;
}

/** The whole version that ran well before this one, else the oldest: later ones may never have run. */
async function before() {
  let oldest;
  for (const name of await ownCaches()) {
    const cache = await caches.open(name);
    if (name === OWN || !(await cache.match(scope, exact)) || (await cache.match(BROKEN))) continue;
    if (await cache.match(GOOD)) return cache;
    oldest ??= cache;
  }
  return oldest;
}

async function choose(isStart) {
  const own = await caches.open(OWN);
  if (await own.match(GOOD)) return own;
  const former = await before();
  if (!former) return own;
  if (await own.match(BROKEN)) return former;
  if (!isStart) return own;
  const starts = Number((await (await own.match(STARTS))?.text()) ?? 0);
  // A phone without room keeps no mark, and starts all the same.
  await mark(own, STARTS, String(starts + 1)).catch(() => {});
  if (starts < MOST_STARTS) return own;
  await mark(own, BROKEN).catch(() => {});
  return former;
}

/** The scripts and the WebAssembly carry their hash in their name, so no version meets another's. */
async function answer(key, request) {
  const isStart = key === scope;
  if (isStart || !served) served = choose(isStart).catch(() => undefined);
  const cache = await served;
  return (await cache?.match(key, exact)) ?? (await caches.match(key, exact)) ?? fetch(request);
}
