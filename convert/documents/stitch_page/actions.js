// What she does, and what the page shows and says of it.

const TALLY_MOST = 120;

function timeWords(seconds) {
  const minutes = Math.max(1, Math.round(seconds / 60));
  if (minutes < 60) return many(minutes, "minute", "minutes");
  const rest = minutes % 60;
  const hours = many(Math.floor(minutes / 60), "hour", "hours");
  return rest ? `${hours} ${many(rest, "minute", "minutes")}` : hours;
}

function showProgress() {
  const beads = place.done < steps.length ? steps[place.done].start : beadsSoFar;
  const rows = place.done ? steps[place.done - 1].last : 0;
  byId("done").textContent = `${rows.toLocaleString("en-GB")} of ${many(data.rows, "row", "rows")} done, ${beads.toLocaleString("en-GB")} of ${many(beadsSoFar, "bead", "beads")}`;
  byId("bar").value = beadsSoFar ? beads / beadsSoFar : 0;
  const left = secondsLeft();
  const missing = FEWEST_GAPS - paces().length;
  if (place.done === steps.length) byId("pace").textContent = "";
  else if (left === null) byId("pace").textContent = `The time to the end is shown after ${many(missing + (place.ticks.length ? 0 : 1), "more row", "more rows")} ticked one after another, each when it is stitched.`;
  else byId("pace").textContent = `About ${timeWords(left)} to the end at your own pace, without pauses.`;
}

function showTally() {
  if (!data.repeats) return;
  const [first, period, last] = data.repeats;
  const all = Math.ceil((last - first + 1) / period);
  const rows = place.done ? steps[place.done - 1].last : 0;
  const done = rows >= last ? all : Math.max(0, Math.floor((rows - first + 1) / period));
  byId("repeats").textContent = `${done} of ${many(all, "repeat", "repeats")} done${(last - first + 1) % period ? "; the last is a part of one" : ""}`;
  if (all > TALLY_MOST) return;
  const now = place.done < steps.length ? repeatOf(steps[place.done].last) : null;
  byId("tally").replaceChildren(...Array.from({ length: all }, (_, at) => {
    const box = element("li", String(at + 1), at < done ? "done" : now && now.repeat === at + 1 ? "now" : "");
    if (at < done) box.append(element("span", " done", "unseen"));
    return box;
  }));
}

function showTrouble() {
  byId("trouble").hidden = keeps;
  byId("trouble").textContent = keeps ? "" : "This browser does not keep your place: it would be lost when you close the page. Before you close it, write your place down as text (Your place, below).";
}

let announcing = 0;
function say(words) {
  byId("said").textContent = "";
  clearTimeout(announcing);
  announcing = setTimeout(() => {
    byId("said").textContent = words;
  }, 60);
}

function show() {
  const finished = place.done === steps.length;
  showRow();
  const sentences = showCheck();
  showProgress();
  showTally();
  showTrouble();
  chart.follow();
  if (space) space.follow();
  byId("tick").disabled = finished;
  byId("tick").textContent = finished ? "Finished" : `${rowName(steps[place.done])} done`;
  byId("undo").disabled = !place.done && !place.back.length;
  return sentences;
}

function announce(before, sentences) {
  const next = place.done === steps.length ? "Finished: every row is done." : `Next: ${sentence(steps[place.done])}`;
  const check = sentences.length ? `Check now: ${sentences.join(" ")} ` : "";
  say(`${before} ${check}${next}`.trim());
  if (byId("each-row").checked) readAloud();
}

function tick() {
  if (place.done === steps.length) return;
  const name = rowName(steps[place.done]);
  const hadFocus = document.activeElement === byId("tick");
  tickRow();
  announce(`${name} done.`, show());
  if (place.done === steps.length && hadFocus) byId("row").focus();
}

// A finger or mouse that marks words or drags does not tap.
const MOST_SLIP_PX = 8;
let pressedAt = null;
function tapped(event) {
  const marked = window.getSelection();
  const slipped = event.detail && pressedAt && Math.hypot(event.clientX - pressedAt.x, event.clientY - pressedAt.y) > MOST_SLIP_PX;
  if (slipped || (!marked.isCollapsed && marked.containsNode(byId("runs"), true))) return;
  tick();
}

function undo() {
  if (!place.done && !place.back.length) return;
  stepBack();
  show();
  announce("One step back.", []);
}

function jump(event) {
  event.preventDefault();
  const typed = byId("jump-row").value.trim();
  const row = /^\d{1,7}$/.test(typed) ? Number(typed) : 0;
  const said = byId("jump-said");
  said.hidden = row >= 1 && row <= data.rows;
  if (!said.hidden) {
    said.textContent = `Give a row from 1 to ${data.rows}.`;
    say(said.textContent);
    return;
  }
  goTo(steps.findIndex((step) => step.last >= row), place.ticks);
  show();
  announce("Your place is moved.", []);
}

function tell(words) {
  byId("kept-said").hidden = !words;
  byId("kept-said").textContent = words;
  if (words) say(words);
}

function writePlace() {
  byId("kept").value = placeText();
  tell("Your place is written into the field above.");
}

async function copyPlace() {
  if (!byId("kept").value) writePlace();
  byId("kept").select();
  try {
    await navigator.clipboard.writeText(byId("kept").value);
    tell("The text is copied.");
  } catch {
    tell("The text is marked; copy it with the keys or the menu of your browser.");
  }
}

function takePlace() {
  try {
    const taken = placeFrom(byId("kept").value.trim());
    goTo(taken.done, taken.ticks);
    show();
    tell(place.done < steps.length ? `Taken: ${rowName(steps[place.done])} is next.` : "Taken: every row is done.");
  } catch (error) {
    tell(error.message);
  }
}

function askAgain(asking) {
  byId("again").hidden = asking;
  byId("again-yes").hidden = !asking;
  byId("again-no").hidden = !asking;
  byId(asking ? "again-no" : "again").focus();
}

function startAgain() {
  place = { done: 0, ticks: [], back: [] };
  keepPlace();
  askAgain(false);
  show();
  tell("You are at row 1 again.");
}

function readAloud() {
  if (!("speechSynthesis" in window) || place.done === steps.length) return;
  const words = new SpeechSynthesisUtterance(sentence(steps[place.done]).replace(/([A-Z])(\d)/g, "$1 $2"));
  words.lang = "en-GB";
  words.rate = 0.9;
  window.speechSynthesis.cancel();
  window.speechSynthesis.speak(words);
}

function setLook(look) {
  if (look === "auto") delete document.documentElement.dataset.look;
  else document.documentElement.dataset.look = look;
  chart.recolour();
  if (space) space.recolour();
}

// Keys that a control needs for itself are left to it.
const OWN_KEYS = "input, textarea, select, summary, #scroller, #space";
let chartClicked = false;
function ownKey({ key, target }) {
  if (key === " " && target.closest("#space")) return false;
  // Who came with Tab scrolls the chart with the space bar; who clicked on it goes on ticking.
  if (key === " " && target.closest("#scroller")) return !chartClicked;
  return target.closest(OWN_KEYS) !== null;
}

function keyed(event) {
  // Held down, Enter presses a button again and again.
  if (event.key === "Enter" && event.repeat && event.target.closest("#tick, #undo")) event.preventDefault();
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || ownKey(event)) return;
  const onButton = event.target.closest("button") !== null;
  const forward = event.key === "ArrowRight" || (event.key === " " && !onButton);
  const backward = event.key === "ArrowLeft" || event.key === "Backspace";
  if (!forward && !backward) return;
  event.preventDefault();
  if (event.repeat) return;
  if (forward) tick();
  else undo();
}

function start() {
  const kept = readKept(KEY);
  if (kept !== null) {
    try {
      place = placeFrom(kept);
    } catch {
      // Something else lies under our name; the first tick writes over it.
    }
  }
  keep(`${KEY}-asked`, "1");
  try {
    window.localStorage.removeItem(`${KEY}-asked`);
  } catch {
    keeps = false;
  }
  const look = readKept(LOOK_KEY);
  const radio = ["light", "dark", "contrast"].includes(look) ? document.querySelector(`input[name="look"][value="${look}"]`) : null;
  if (radio) radio.checked = true;
  if ("speechSynthesis" in window) {
    byId("aloud").hidden = false;
    byId("each").hidden = false;
  }
  if (radio) document.documentElement.dataset.look = look;
  chart.start();
  show();
}

byId("tick").addEventListener("click", tick);
byId("undo").addEventListener("click", undo);
byId("runs").addEventListener("pointerdown", ({ clientX: x, clientY: y }) => {
  pressedAt = { x, y };
});
byId("runs").addEventListener("click", tapped);
byId("scroller").addEventListener("focus", () => {
  chartClicked = false;
});
byId("scroller").addEventListener("click", () => {
  chartClicked = true;
});
byId("jump").addEventListener("submit", jump);
byId("export").addEventListener("click", writePlace);
byId("copy").addEventListener("click", copyPlace);
byId("import").addEventListener("click", takePlace);
byId("again").addEventListener("click", () => askAgain(true));
byId("again-no").addEventListener("click", () => askAgain(false));
byId("again-yes").addEventListener("click", startAgain);
byId("aloud").addEventListener("click", readAloud);
byId("checked").addEventListener("click", () => {
  byId("check").hidden = true;
  byId(place.done === steps.length ? "row" : "tick").focus();
});
document.addEventListener("keydown", keyed);
// After a click with mouse or finger the space bar is to tick again, not to press the same button.
document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (button && event.detail && document.activeElement === button) button.blur();
});
byId("looks").addEventListener("change", (event) => {
  keep(LOOK_KEY, event.target.value);
  setLook(event.target.value);
});
for (const query of ["(prefers-color-scheme: dark)", "(prefers-contrast: more)", "(forced-colors: active)"]) {
  window.matchMedia(query).addEventListener("change", () => setLook(document.querySelector("input[name='look']:checked").value));
}
new ResizeObserver(() => requestAnimationFrame(chart.fit)).observe(byId("scroller"));
// The same page in another tab moved on: follow it, for the last one to write would win.
window.addEventListener("storage", (event) => {
  if (event.key !== KEY || event.newValue === null) return;
  try {
    place = { ...placeFrom(event.newValue), back: place.back };
    show();
  } catch {
    // Not ours; what is on this page stays.
  }
});
start();
