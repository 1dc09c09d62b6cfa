// Serves the whole app without signal. One version is one cache, filled whole or not used.
//
// finish.mjs fills in the two constants from the bytes of the build's output.
const VERSION = "@VERSION@";
/** Path and base64 SHA-256 of each file; the page itself is "./" and comes last. */
const FILES = "@FILES@";

const scope = new URL("./", location.href).href;
// The path, closed by a blank that no path holds: another copy of the app beside this one on the same
// host has caches of its own.
const PREFIX = `laneside ${new URL(scope).pathname} `;
const OWN = PREFIX + VERSION;
const pages = [scope, scope + "index.html"];
const exact = { ignoreVary: true };

addEventListener("install", (event) => event.waitUntil(fill()));
addEventListener("activate", (event) => event.waitUntil(takeOver()));
addEventListener("message", (event) => event.data === "accept" && skipWaiting());
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
  await Promise.all(FILES.slice(0, -1).map(store));
  // The page is stored last: while it is missing, nothing leads to the rest.
  await store(FILES.at(-1));
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
  const tabs = await clients.matchAll({ type: "window", includeUncontrolled: true });
  // A second tab may still run the version before: it keeps its files until the next update.
  if (tabs.length < 2) {
    const old = (await ownCaches()).filter((name) => name !== OWN);
    await Promise.all(old.map((name) => caches.delete(name)));
  }
  await clients.claim();
}

/** The scripts and the WebAssembly carry their hash in their name, so no version meets another's. */
async function answer(key, request) {
  const cache = await caches.open(OWN);
  return (await cache.match(key, exact)) ?? (await caches.match(key, exact)) ?? fetch(request);
}
