// The work, her place in it, and where that is kept.

const data = JSON.parse(document.getElementById("data").textContent);
const byId = (id) => document.getElementById(id);

function unpacked(text, Kind) {
  const bytes = Uint8Array.from(atob(text), (character) => character.charCodeAt(0));
  const view = new DataView(bytes.buffer);
  const size = Kind.BYTES_PER_ELEMENT;
  const read = { Uint16Array: "getUint16", Int16Array: "getInt16", Int8Array: "getInt8" }[Kind.name];
  return Kind.from({ length: bytes.length / size }, (_, at) => view[read](at * size, true));
}

const kinds = data.kinds.map(([kind, name, size, colour, edge, ink, round, level]) => ({ kind, name, size, colour, edge, ink, round: round === 1, level }));
const places = unpacked(data.places, Uint16Array);
let beadsSoFar = 0;
const steps = data.steps.map(([first, last, direction, special, flat]) => {
  const runs = [];
  for (let at = 0; at < flat.length; at += 2) runs.push({ count: flat[at], kind: flat[at + 1] });
  const start = beadsSoFar;
  beadsSoFar += runs.reduce((sum, run) => sum + run.count, 0);
  return { first, last, direction, special: special === 1, runs, start, end: beadsSoFar };
});
const kindOf = new Uint16Array(beadsSoFar);
for (const step of steps) {
  let at = step.start;
  for (const { count, kind } of step.runs) {
    kindOf.fill(kind, at, at + count);
    at += count;
  }
}

const FORMAT = "hummock-stitch";
const VERSION = 1;
const KEY = `${FORMAT}-${data.hash}`;
const LOOK_KEY = `${FORMAT}-look`;
const MOST_BACK = 400;
const MOST_TICKS = 61;
const LONGEST_GAP_MS = 10 * 60 * 1000;
const FEWEST_GAPS = 5;
// No hand takes up and stitches a bead in less; such rows are ticked to catch up. Our judgement, no source.
const LEAST_MS_PER_BEAD = 1000;

// done: steps behind her. ticks: [step, when] of each row she ticked herself. back: where each step back leads.
let place = { done: 0, ticks: [], back: [] };

const whole = (value, most) => Number.isInteger(value) && value >= 0 && value <= most;

function placeFrom(text) {
  let values;
  try {
    values = JSON.parse(text);
  } catch {
    throw new Error("This is no place from a stitch page. Copy the whole text, from { to }.");
  }
  if (values === null || typeof values !== "object" || values.format !== FORMAT) throw new Error("This is no place from a stitch page. Copy the whole text, from { to }.");
  if (values.version !== VERSION) throw new Error("This place comes from another version of the stitch page. Make both pages with the same version.");
  if (values.design !== data.hash) throw new Error("This place belongs to another design. Open that design's page.");
  const ticks = Array.isArray(values.ticks) ? values.ticks : [];
  const sound = whole(values.done, steps.length) && ticks.every((tick) => Array.isArray(tick) && whole(tick[0], steps.length - 1) && Number.isFinite(tick[1]));
  if (!sound) throw new Error("This place is damaged. Copy the whole text once more.");
  return { done: values.done, ticks: ticks.slice(-MOST_TICKS), back: [] };
}

function placeText() {
  const row = place.done < steps.length ? steps[place.done].first : null;
  return JSON.stringify({ format: FORMAT, version: VERSION, design: data.hash, title: data.title, next_row: row, done: place.done, ticks: place.ticks });
}

let keeps = true;

function readKept(key) {
  try {
    return window.localStorage.getItem(key);
  } catch {
    keeps = false;
    return null;
  }
}

function keep(key, text) {
  try {
    window.localStorage.setItem(key, text);
    keeps = true;
  } catch {
    keeps = false;
  }
}

function keepPlace() {
  keep(KEY, placeText());
}

function goTo(done, ticks) {
  place = { done, ticks, back: [...place.back, place.done].slice(-MOST_BACK) };
  keepPlace();
}

function tickRow() {
  goTo(place.done + 1, [...place.ticks, [place.done, Date.now()]].slice(-MOST_TICKS));
}

function stepBack() {
  const done = place.back.length ? place.back[place.back.length - 1] : place.done - 1;
  const last = place.ticks[place.ticks.length - 1];
  const ticks = last && last[0] === done ? place.ticks.slice(0, -1) : place.ticks;
  place = { done, ticks, back: place.back.slice(0, -1) };
  keepPlace();
}

// Seconds per bead of each row whose start and end she ticked, without pauses and without rows ticked to catch up.
function paces() {
  const found = [];
  for (let at = 1; at < place.ticks.length; at += 1) {
    const [[before, from], [step, to]] = [place.ticks[at - 1], place.ticks[at]];
    const beads = steps[step].end - steps[step].start;
    const [gap, least] = [to - from, beads * LEAST_MS_PER_BEAD];
    if (step === before + 1 && beads && gap >= least && gap <= LONGEST_GAP_MS) found.push(gap / 1000 / beads);
  }
  return found;
}

function secondsLeft() {
  const sorted = paces().sort((a, b) => a - b);
  if (sorted.length < FEWEST_GAPS || place.done === steps.length) return null;
  const middle = sorted.length >> 1;
  const median = sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
  return median * (beadsSoFar - steps[place.done].start);
}
