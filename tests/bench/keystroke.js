// Notes what every entry costs the main thread, from the event to the frame with the chart redrawn.
//
// Work is the task of the event, its microtasks included, and the frames (script, style, layout,
// paint) until the last one that drew on a canvas; waiting between them is none. Times are ms.

const FRAMES = 4;
// More than any chain of effects that an entry sets off.
const TURNS = 50;
const entries = [];
let drawn = 0;
for (const name of ["stroke", "fill", "fillRect", "fillText", "clearRect"]) {
  const plain = CanvasRenderingContext2D.prototype[name];
  CanvasRenderingContext2D.prototype[name] = function (...all) {
    drawn += 1;
    return plain.apply(this, all);
  };
}

// After the frame that is going on.
const after = () => new Promise((done) => {
  const channel = new MessageChannel();
  channel.port1.onmessage = done;
  channel.port2.postMessage(null);
});
const frame = () => new Promise((done) => requestAnimationFrame(() => {
  const start = performance.now();
  after().then(() => done([start, performance.now()]));
}));

let entry;
let waiting;
addEventListener("click", (event) => {
  if (!event.target.closest(".step, .key")) return;
  drawn = 0;
  entry = { begin: performance.now(), stamp: event.timeStamp };
  waiting = frame();
}, { capture: true });

// The last to hear of the event: what it set off runs in microtasks, before the next task.
addEventListener("click", async () => {
  if (!entry) return;
  const noted = entry;
  entry = undefined;
  for (let turn = 0; turn < TURNS; turn += 1) await null;
  noted.task = performance.now() - noted.begin;
  const next = [];
  for (let at = 0; at < FRAMES; at += 1) {
    const [start, end] = await waiting;
    next.push({ start, end, drawn });
    drawn = 0;
    waiting = frame();
  }
  const last = next.findLastIndex((one) => one.drawn > 0);
  noted.redrawn = last >= 0;
  const whole = next.slice(0, Math.max(last, 0) + 1);
  noted.frames = whole.map((one) => one.end - one.start);
  noted.work = noted.frames.reduce((sum, one) => sum + one, noted.task);
  noted.paint = next[0].end - noted.stamp;
  noted.chart = whole.at(-1).end - noted.stamp;
  entries.push(noted);
});

window.entries = entries;

// The unit: ten thousand square roots, one after another; the quickest of many.
window.unit = () => {
  let least = Infinity;
  let sum = 1;
  for (let run = 0; run < 40; run += 1) {
    const start = performance.now();
    for (let at = 0; at < 200_000; at += 1) sum = Math.sqrt(sum + 1);
    least = Math.min(least, (performance.now() - start) / 20);
  }
  return sum > 0 ? least : 0;
};

// Tasks after the entry that are long enough to be felt by the next one.
window.long = [];
new PerformanceObserver((list) => {
  for (const { startTime, duration } of list.getEntries()) window.long.push([startTime, duration]);
}).observe({ type: "longtask" });
