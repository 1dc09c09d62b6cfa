// Starts the app, then keeps it ready for the next visit without signal.
//
// The page's side of an update, for the app:
//   - when a newer version is stored and waits, <html data-update="ready"> is set and the window
//     gets the event "laneside-update" (the attribute is for an app that started later);
//   - the app dispatches "laneside-accept-update" on the window when the person accepts; the page
//     then reloads once, in the new version;
//   - when another tab accepted, this page goes on as it is, and is offered the same again.

// What the app is told, in the global `laneside`: the language spoken, its words and their file (none for English),
// whether decimals stand behind a comma, and which language was wanted and could not be had.

const LANGUAGE = "laneside.language";
const ENGLISH = "en";

const linked = (selector) => document.querySelector(selector).href;
const languageOf = (locale) => locale.split("-")[0].toLowerCase();
const file = (language) =>
  [...document.querySelectorAll("link[hreflang]")].find((link) => link.hreflang === language);

let wanted = ENGLISH;
try {
  const [{ default: start }, told] = await Promise.all([
    import(linked("link[rel=modulepreload]")),
    speech(),
  ]);
  globalThis.laneside = told;
  document.documentElement.lang = told.spoken;
  await start({ module_or_path: linked("link[rel=preload]") });
  dispatchEvent(new Event("laneside-running"));
} catch (error) {
  // What fails here is guard.js's to tell, and WebKit tells nobody what a module throws after its first wait.
  dispatchEvent(new ErrorEvent("error", { error }));
  throw error;
} finally {
  keepOffline().catch(() => {});
}

/** The language chosen, else the first of the phone's that there are words for; its words come with the module. */
async function speech() {
  const phone = navigator.languages ?? [navigator.language ?? ENGLISH];
  const spoken = (one) => one === ENGLISH || Boolean(one && file(one));
  wanted = [chosen(), ...phone.map(languageOf)].find(spoken) ?? ENGLISH;
  const comma = (language) => isComma(localeOf(language, phone));
  const english = { spoken: ENGLISH, comma: comma(ENGLISH) };
  if (wanted === ENGLISH) return english;
  const { href, integrity } = file(wanted);
  const words = await fetch(href, { integrity }).then(
    (response) => (response.ok ? response.text() : ""),
    () => "",
  );
  if (!words) return { ...english, lost: wanted };
  return { spoken: wanted, comma: comma(wanted), words, file: href };
}

function chosen() {
  try {
    return localStorage.getItem(LANGUAGE);
  } catch {
    return null; // Storage is refused: the phone's own language, then.
  }
}

/** The language as the phone's region writes it: that decides what stands before decimals. */
function localeOf(language, phone) {
  const own = phone.find((locale) => languageOf(locale) === language);
  const region = phone.map((locale) => locale.match(/-([A-Z]{2}|\d{3})\b/i)?.[1]).find(Boolean);
  return own ?? (region ? `${language}-${region}` : language);
}

function isComma(locale) {
  try {
    const parts = new Intl.NumberFormat(locale).formatToParts(1.5);
    return parts.some(({ type, value }) => type === "decimal" && value === ",");
  } catch {
    return false; // No locale that this browser knows.
  }
}

async function keepOffline() {
  const workers = navigator.serviceWorker;
  // No service worker in a private window, or when served without HTTPS: the app still runs.
  if (!workers) return;

  let controlled = Boolean(workers.controller);
  let accepted = false;
  const offer = () => {
    document.documentElement.dataset.update = "ready";
    dispatchEvent(new CustomEvent("laneside-update"));
  };

  workers.addEventListener("controllerchange", () => {
    if (accepted) location.reload();
    else if (controlled) offer();
    controlled = true;
  });

  const registration = await workers.register("service-worker.js");
  const watch = (worker) => {
    const check = () => worker.state === "installed" && workers.controller && offer();
    worker?.addEventListener("statechange", check);
  };
  if (registration.waiting && workers.controller) offer();
  watch(registration.installing);
  registration.addEventListener("updatefound", () => watch(registration.installing));

  // Each version keeps the words of a language that is in use, the one that waits too.
  if (wanted !== ENGLISH) {
    await workers.ready;
    for (const worker of [registration.active, registration.waiting])
      worker?.postMessage({ speak: wanted });
  }

  addEventListener("laneside-accept-update", () => {
    if (accepted) return;
    accepted = true;
    if (registration.waiting) registration.waiting.postMessage("accept");
    else location.reload();
  });

  // An installed app can stay open for days: look again whenever it comes back into view.
  const look = () => document.hidden || registration.update().catch(() => {});
  document.addEventListener("visibilitychange", look);
  addEventListener("online", look);
}
