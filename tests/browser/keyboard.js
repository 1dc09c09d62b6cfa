// What the tests of the keyboard read from a page.

const shown = (element) => element.checkVisibility({ visibilityProperty: true });
const name = (element) =>
  element === document.body ? "the page" : element.outerHTML.replace(/\s+/g, " ").slice(0, 110);

// Everything that the Tab key must reach, in the order of the document; of radio buttons of one group one.
const stops = () => {
  const groups = new Set();
  return [...document.querySelectorAll(
    "a[href], button, input, select, textarea, summary, [tabindex]")]
    .filter((element) => {
      if (!shown(element) || element.disabled || element.tabIndex < 0) return false;
      if (element.closest("details:not([open])") &&
        element !== element.closest("details:not([open])").querySelector("summary")) return false;
      if (element.type !== "radio") return true;
      const group = [...document.querySelectorAll(`input[type=radio][name="${element.name}"]`)];
      const checked = group.find((one) => one.checked);
      if (checked ? !element.checked : groups.has(element.name)) return false;
      groups.add(element.name);
      return true;
    });
};

const begin = () => {
  window.stopsWanted = stops();
  window.stopsSeen = [];
  // From the very start of the page.
  const start = document.createElement("span");
  start.tabIndex = -1;
  document.body.prepend(start);
  start.focus();
  start.remove();
  return window.stopsWanted.length;
};

// What has the focus now: whether it is told by an outline, and whether it is in sight.
const note = () => {
  const at = document.activeElement;
  if (!at || at === document.body) return "the page";
  // A window without buttons of its own goes round.
  if (at === window.stopsSeen[0]) return "the page";
  window.stopsSeen.push(at);
  const faults = [];
  const outlined = (element) => {
    const style = getComputedStyle(element);
    return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  };
  const drawn = at.querySelector("circle");
  const around = at.closest(".slot, .option, .file, .check");
  if (![at, around].some((one) => one && outlined(one)) && !(drawn && getComputedStyle(drawn).stroke !== "none")) {
    faults.push("no outline");
  }
  const box = (around ?? at).getBoundingClientRect();
  // Of a table taller than the screen the start is enough.
  const top = Math.min(0.1, 12 / box.height);
  const places = [[0.5, 0.5], [0.05, 0.5], [0.95, 0.5], [0.5, top], [0.5, 0.9]];
  const seen = places.some(([across, down]) => {
    const hit = document.elementFromPoint(box.x + box.width * across, box.y + box.height * down);
    return hit && ((around ?? at).contains(hit) || hit.contains(at) && hit.matches("label, .file"));
  });
  if (!seen) faults.push(`out of sight (${[box.x, box.y, box.width, box.height].map(Math.round)})`);
  return faults.length ? `${faults}: ${name(at)}` : "";
};

const missed = () => {
  const { stopsWanted: wanted, stopsSeen: seen } = window;
  const faults = wanted.filter((one) => one.isConnected && !seen.includes(one)).map((one) => `not reached: ${name(one)}`);
  const order = seen.map((one) => wanted.indexOf(one)).filter((at) => at >= 0);
  order.forEach((at, place) => {
    if (place && at < order[place - 1]) faults.push(`out of order: ${name(wanted[at])}`);
  });
  return faults;
};
