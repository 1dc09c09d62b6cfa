// Starts the app, then keeps it ready for the next visit without signal.
//
// The page's side of an update, for the app:
//   - when a newer version is stored and waits, <html data-update="ready"> is set and the window
//     gets the event "laneside-update" (the attribute is for an app that started later);
//   - the app dispatches "laneside-accept-update" on the window when the person accepts; the page
//     then reloads once, in the new version;
//   - when another tab accepted, this page goes on as it is, and is offered the same again.

const linked = (selector) => document.querySelector(selector).href;

try {
  const { default: start } = await import(linked("link[rel=modulepreload]"));
  await start({ module_or_path: linked("link[rel=preload]") });
} catch (error) {
  document.body.append(`Laneside could not start: ${error}. Load the page again with signal.`);
  throw error;
} finally {
  keepOffline().catch(() => {});
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
