// What the tests of the look read from a page. Each function returns a list of findings.

const shown = (element) =>
  element.checkVisibility({ opacityProperty: true, visibilityProperty: true });
const name = (element) =>
  element.outerHTML.replace(/\s+/g, " ").slice(0, 90) + " in " +
  (element.parentElement?.className || element.parentElement?.tagName);

// The ranges of text that are drawn, with the element whose style they have.
const texts = function* () {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const element = node.parentElement;
    if (!node.data.trim() || !shown(element) || element.closest("option, noscript, script")) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const boxes = [...range.getClientRects()].filter((box) => box.width > 0 && box.height > 0);
    // Before it takes focus, the way past the head is out of sight.
    if (boxes.length && boxes.some((box) => box.bottom + scrollY > 0)) {
      yield { element, boxes, text: node.data.trim() };
    }
  }
};

const numbers = (color) => color.match(/[\d.]+/g).map(Number);

// The one color behind an element; a text where there is more than one.
const ground = (element) => {
  for (let at = element; at; at = at.parentElement) {
    const style = getComputedStyle(at);
    const [, , , alpha = 1] = numbers(style.backgroundColor);
    if (alpha === 1) return style.backgroundColor;
    if (alpha > 0) return `half transparent: ${name(at)}`;
    if (style.backgroundImage !== "none") return `a pattern: ${name(at)}`;
  }
  return "nothing";
};

const opacity = (element) => {
  let all = 1;
  for (let at = element; at; at = at.parentElement) all *= Number(getComputedStyle(at).opacity);
  return all;
};

// Every pair of text and ground colors, once, with a text that has it: [[text color, ground, text]].
const colors = () => {
  const pairs = new Map();
  const add = (color, element, text) => {
    const see = opacity(element) === 1 ? ground(element) : `opacity ${opacity(element)}`;
    pairs.set(`${color} on ${see}`, [color, see, `${text.slice(0, 40)}: ${name(element)}`]);
  };
  for (const { element, text } of texts()) {
    const style = getComputedStyle(element);
    add(element instanceof SVGElement ? style.fill : style.color, element, text);
  }
  for (const element of document.querySelectorAll("input:not([type=radio], [type=checkbox]), textarea, select")) {
    if (!shown(element)) continue;
    if (element.value) add(getComputedStyle(element).color, element, element.value);
    if (element.placeholder) {
      add(getComputedStyle(element, "::placeholder").color, element, element.placeholder);
    }
  }
  for (const element of document.querySelectorAll("body *")) {
    for (const part of ["::before", "::after"]) {
      const style = getComputedStyle(element, part);
      if (/^"\S/.test(style.content) && shown(element)) add(style.color, element, style.content);
    }
  }
  return [...pairs.values()];
};

// What is smaller than a thumb needs: [[element, width, height]].
const small = (least, step) => {
  const all = "a[href], button, summary, select, textarea, label.option, label.check, .slot, [role=slider]";
  return [...document.querySelectorAll(all)]
    .filter((element) => shown(element) && !element.matches(".skip"))
    .map((element) => [element, element.getBoundingClientRect()])
    .filter(([element, box]) => {
      const need = (element.matches(".step") ? step : least) - 0.5;
      return box.width < need || box.height < need;
    })
    .map(([element, box]) => `${box.width.toFixed(1)} x ${box.height.toFixed(1)}: ${name(element)}`);
};

// Controls that a thumb could mistake for each other: they lie over each other.
const overlapping = () => {
  const all = [...document.querySelectorAll("main a[href], main button, main summary, main select, main .slot")]
    // What stays in sight while the page moves under it covers something always.
    .filter((element) => shown(element) && !element.closest(".thumb"))
    .map((element) => [element, element.getBoundingClientRect()]);
  const found = [];
  all.forEach(([one, a], at) => {
    for (const [other, b] of all.slice(at + 1)) {
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 1 && down > 1 && !one.contains(other)) found.push(`${name(one)} over ${name(other)}`);
    }
  });
  return found;
};

// What sticks out of the screen at the side, or out of what cuts it off.
const overflowing = () => {
  const root = document.documentElement;
  const found = [];
  if (root.scrollWidth > root.clientWidth) {
    const right = (element) => element.getBoundingClientRect().right;
    // The widest, and of those the innermost.
    const [far] = [...document.querySelectorAll("main *, header *, footer *")].reverse().sort((a, b) => right(b) - right(a));
    found.push(`the page is ${root.scrollWidth} wide on a screen of ${root.clientWidth}, by ${far && name(far)}`);
  }
  const cuts = (style) => /hidden|clip/.test(style.overflowX);
  const scrolls = (style) => /auto|scroll/.test(style.overflowX);
  for (const { element, boxes, text } of texts()) {
    let room = { left: 0, right: root.clientWidth };
    for (let at = element; at && at !== root; at = at.parentElement) {
      const style = getComputedStyle(at);
      // What is clipped away whole is there to be heard.
      if (scrolls(style) || style.clipPath === "inset(50%)") { room = { left: -Infinity, right: Infinity }; break; }
      if (cuts(style)) {
        const box = at.getBoundingClientRect();
        room = { left: Math.max(room.left, box.left), right: Math.min(room.right, box.right) };
      }
    }
    for (const box of boxes) {
      if (box.left < room.left - 1 || box.right > room.right + 1) {
        found.push(`${text.slice(0, 40)}: ${name(element)}`);
      }
    }
  }
  // A name scrolls in its field; a number has to be seen whole.
  for (const input of document.querySelectorAll("input.num")) {
    if (shown(input) && input.scrollWidth > input.clientWidth + 1) {
      found.push(`${input.value || input.placeholder} does not fit: ${name(input)}`);
    }
  }
  return found;
};

// Numbers that a line end parts.
const broken = () => {
  const found = [];
  for (const { element } of texts()) {
    for (const node of element.childNodes) {
      if (node.nodeType !== Node.TEXT_NODE) continue;
      // The number of a document, such as 5-3895-383-24, is no figure: a narrow line may part it.
      const figures = node.data.replace(/\d+(?:-\d+){2,}/g, (one) => "x".repeat(one.length));
      for (const match of figures.matchAll(/[\d,.\u2212+]*\d[\d,.]*/g)) {
        const range = document.createRange();
        range.setStart(node, match.index);
        range.setEnd(node, match.index + match[0].length);
        // WebKit adds an empty box at the end of the line before.
        const boxes = [...range.getClientRects()].filter((box) => box.width > 0);
        const lines = new Set(boxes.map((box) => Math.round(box.top)));
        if (lines.size > 1) found.push(`${match[0]}: ${name(element)}`);
      }
    }
  }
  return found;
};

// Canvases whose own pixels are not the screen's.
const blurred = () =>
  [...document.querySelectorAll("canvas")].filter(shown).flatMap((canvas) => {
    const box = canvas.getBoundingClientRect();
    const off = (pixels, size) => Math.abs(pixels - size * devicePixelRatio) > 1;
    return off(canvas.width, box.width) || off(canvas.height, box.height)
      ? [`${canvas.width} x ${canvas.height} for ${box.width} x ${box.height} at ${devicePixelRatio}`]
      : [];
  });

// Text that is smaller than the smallest of the design.
const tiny = (least) =>
  [...texts()]
    .map(({ element, text }) => [parseFloat(getComputedStyle(element).fontSize), element, text])
    // A drawing scales its text with itself.
    .filter(([size, element]) => size < least && !(element instanceof SVGElement))
    .map(([size, element, text]) => `${size} px: ${text.slice(0, 40)}: ${name(element)}`);

// Ids that stand more than once: a label or a link would lead to the first of them.
const twice = () => {
  const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
  return [...new Set(ids.filter((id, at) => ids.indexOf(id) !== at))];
};

// Pickers and fields that no label names.
const unnamed = () =>
  [...document.querySelectorAll("main input, main select, main textarea")]
    .filter((element) => shown(element) && !element.labels?.length && !element.ariaLabel)
    .map(name);

// Figures of which a later part stands further left than an earlier one.
const backwards = () => {
  const found = [];
  for (const { element } of texts()) {
    for (const node of element.childNodes) {
      if (node.nodeType !== Node.TEXT_NODE) continue;
      for (const { 0: figure, index } of node.data.matchAll(
        /[-\u2212]?\d[\d.,]*( \d+\/\d+)?(\u00a0| )?(rpm|in|mm|V|A|Hz|lbf|N|s|min|%|\u00b0[CF])?\b/g)) {
        const place = (at) => {
          const range = document.createRange();
          range.setStart(node, at);
          range.setEnd(node, at + 1);
          return range.getBoundingClientRect();
        };
        const [first, last] = [place(index), place(index + figure.trimEnd().length - 1)];
        const oneLine = Math.abs(first.top - last.top) < 4;
        if (oneLine && first.width && last.left < first.left - 1) found.push(`${figure}: ${name(element)}`);
      }
    }
  }
  return found;
};

// What stays in sight while the page scrolls may take half of the screen at most.
const crowded = () => {
  const fixed = [...document.querySelectorAll("header, .verdict-slot, .foot, :not(.foot) > .undo, .foot:has(.undo) .undo, .thumb")].filter((element) =>
    shown(element) && /sticky|fixed/.test(getComputedStyle(element).position));
  const taken = fixed.reduce((sum, element) => sum + element.getBoundingClientRect().height, 0);
  return taken > innerHeight / 2 && !document.querySelector(".pad, dialog[open]")
    ? [`${Math.round(taken)} of ${innerHeight} px stay`] : [];
};

const colorsOfTheme = () =>
  ["--ground", "--panel", "--ink", "--quiet", "--on-car", "--try"]
    .map((token) => getComputedStyle(document.documentElement).getPropertyValue(token).trim());

const openAll = () => document.querySelectorAll("details").forEach((part) => { part.open = true; });
