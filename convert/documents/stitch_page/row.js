// The row that is next: its words, its beads, what to lay out.

const beadPictures = Array.from(document.querySelectorAll(".kinds .bead"));
const many = (count, one, more) => `${count.toLocaleString("en-GB")} ${count === 1 ? one : more}`;
const directionWords = (step) => (step.direction === ">" ? "left to right" : "right to left");

function rowName(step) {
  return step.first === step.last ? `Row ${step.first}` : `Rows ${step.first} and ${step.last}`;
}

function runWords(step) {
  return step.runs.map((run) => `${run.count} ${kinds[run.kind].kind}`).join(", ");
}

function turnWords(step) {
  if (step.first !== step.last) return data.rows > step.last ? `then turn, for row ${step.last + 1}` : "then the work is done";
  if (step.special) return "then the odd-count turn";
  return step.last === data.rows ? "then the work is done" : "then a plain turn";
}

function countWords(step) {
  const count = many(step.end - step.start, "bead", "beads");
  if (step.first !== step.last) return `${count}, strung together`;
  return data.drop === 2 ? `${count}, two in each stitch` : count;
}

function sentence(step) {
  return `${rowName(step)}, ${directionWords(step)}, ${countWords(step)}: ${runWords(step)}; ${turnWords(step)}.`;
}

function element(name, text, className) {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (className) made.className = className;
  return made;
}

function runLabel({ count, kind }) {
  return [element("span", `${count} ${kinds[kind].kind}`, "label"), element("span", ` ${kinds[kind].name}, ${kinds[kind].size}`, "unseen")];
}

function runItem(run) {
  const item = element("li");
  const beads = element("span", "", "beads");
  for (let at = 0; at < run.count; at += 1) beads.append(beadPictures[run.kind].cloneNode(true));
  item.append(...runLabel(run), beads);
  return item;
}

// Two-drop: the beads of each stitch over a bracket, each run's label over its first bead.
function pairsOf(step) {
  const cells = step.runs.flatMap((run) => Array.from({ length: run.count }, (_, at) => {
    const cell = element("span", "", "cell");
    if (at === 0) cell.append(...runLabel(run));
    cell.append(beadPictures[run.kind].cloneNode(true));
    return cell;
  }));
  return Array.from({ length: cells.length / 2 }, (_, at) => {
    const pair = element("li", "", "pair");
    pair.append(...cells.slice(2 * at, 2 * at + 2));
    // Its beads are told with the run's label, some stitches before.
    if (!pair.querySelector(".label")) pair.setAttribute("aria-hidden", "true");
    return pair;
  });
}

function showBeads(step) {
  const inPairs = data.drop === 2 && step.first === step.last;
  byId("order").textContent = `Pick them up in this order, the first at the upper left${inPairs ? ", the two over each bracket in one stitch" : ""}:`;
  byId("runs").classList.toggle("pairs", inPairs);
  byId("runs").replaceChildren(...(inPairs ? pairsOf(step) : step.runs.map(runItem)));
}

function totalsOf(step) {
  const totals = new Map();
  for (const { count, kind } of step.runs) totals.set(kind, (totals.get(kind) || 0) + count);
  return [...totals].sort((a, b) => a[0] - b[0]);
}

function totalItem([kind, count]) {
  const { kind: letters, name, size } = kinds[kind];
  const item = element("li");
  item.append(element("span", String(count), "number"), beadPictures[kind].cloneNode(true));
  const words = element("span");
  words.append(element("strong", letters), ` ${name}, ${size}`);
  item.append(words);
  return item;
}

// Where in the repeat a row lies: null before the first repeat and after the last.
function repeatOf(row) {
  if (!data.repeats) return null;
  const [first, period, last] = data.repeats;
  if (row < first || row > last) return null;
  return { repeat: Math.floor((row - first) / period) + 1, row: ((row - first) % period) + 1, period, of: Math.ceil((last - first + 1) / period) };
}

function repeatWords(step) {
  if (!data.repeats) return "";
  const found = repeatOf(step.last);
  if (found) return `Repeat ${found.repeat} of ${found.of}, row ${found.row} of ${found.period}`;
  return step.last < data.repeats[0] ? "First rows, before the repeat" : "Last rows, after the repeat";
}

function showRow() {
  const finished = place.done === steps.length;
  byId("stitch").hidden = finished;
  byId("finished").hidden = !finished;
  const step = steps[Math.min(place.done, steps.length - 1)];
  byId("repeat").textContent = finished ? "" : repeatWords(step);
  byId("repeat").hidden = finished || !data.repeats;
  const name = finished ? "Finished" : rowName(step);
  const heading = [name];
  if (!finished) heading.push(" ", element("small", `of ${data.rows}`));
  byId("row").replaceChildren(...heading);
  if (finished) return;
  byId("direction").textContent = directionWords(step);
  byId("arrow").setAttribute("class", step.direction === ">" ? "right" : "left");
  byId("count").textContent = countWords(step);
  byId("turn").textContent = turnWords(step);
  byId("turn").className = step.special ? "special" : "";
  showBeads(step);
  byId("totals").replaceChildren(...totalsOf(step).map(totalItem));
}

function showCheck() {
  const before = place.done ? steps[place.done - 1] : null;
  const sentences = (before && data.checks[before.last]) || [];
  const card = byId("check");
  card.hidden = !sentences.length;
  card.querySelector("h3").textContent = before ? `Check now, after row ${before.last}` : "";
  card.querySelector("ul").replaceChildren(...sentences.map((text) => element("li", text)));
  return sentences;
}
