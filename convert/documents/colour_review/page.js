
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("data").textContent);
  const MOST_PIXELS = 16e6;
  const LARGE_BEAD = 22;
  const THUMB_HEIGHT = 420;
  const chosen = { Left: data.sides[0], Right: data.sides[1], vision: "full", zoom: "whole" };
  const width = data.columns * data.slot[0];
  const height = data.halfRows * data.slot[1];

  // Two bytes for each number, the lower one first: half-row and column of each bead.
  const bytes = Uint8Array.from(atob(data.places), (character) => character.charCodeAt(0));
  const numberAt = (at) => bytes[at] + 256 * bytes[at + 1];
  const places = Array.from({ length: bytes.length / 4 }, (_, bead) => [numberAt(4 * bead), numberAt(4 * bead + 2)]);
  const placeOf = (letter) => letter.charCodeAt(0) - (letter < "a" ? 65 : 71);
  const levels = Array.from(data.levels, placeOf);
  const inPaintingOrder = places.map((_, bead) => bead).sort((a, b) => levels[a] - levels[b] || a - b);

  const named = (k) => `${k} ${String(k) === "1" ? "colour" : "colours"}`;

  function outlineOf(colour, part) {
    const codes = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));
    const shade = 0.3 * codes[0] + 0.6 * codes[1] + 0.1 * codes[2] < 90 ? 255 : 0;
    return `rgb(${codes.map((code) => Math.round(code + (shade - code) * part)).join(" ")})`;
  }

  const outlines = new Map();
  function outline(colour, part) {
    const shade = `${colour} ${part}`;
    if (!outlines.has(shade)) outlines.set(shade, outlineOf(colour, part));
    return outlines.get(shade);
  }

  function paintFlat(pen, scale, [down, right], colour) {
    const left = Math.round(right * data.slot[0] * scale);
    const top = Math.round(down * data.slot[1] * scale);
    const wide = Math.round((right + 1) * data.slot[0] * scale) - left;
    const high = Math.round((down + 2) * data.slot[1] * scale) - top;
    const seam = Math.min(wide, high) < 5 ? 0 : Math.max(1, Math.round(Math.min(wide, high) / 20));
    pen.fillStyle = outline(colour, 0.35);
    pen.fillRect(left, top, wide, high);
    pen.fillStyle = colour;
    pen.fillRect(left, top, wide - seam, high - seam);
  }

  function paintRaised(pen, scale, [down, right], colour, drawn) {
    pen.beginPath();
    const [x, y] = [(right + 0.5) * data.slot[0] * scale, (down + 1) * data.slot[1] * scale];
    const [rx, ry] = [drawn.width * scale / 2, drawn.height * scale / 2];
    if (drawn.round) pen.ellipse(x, y, rx, ry, 0, 0, 2 * Math.PI);
    else pen.rect(x - rx, y - ry, 2 * rx, 2 * ry);
    pen.fillStyle = colour;
    pen.fill();
    pen.lineWidth = Math.max(0.5, 0.08 * scale);
    pen.strokeStyle = outline(colour, 0.7);
    pen.stroke();
  }

  function paint(canvas, k, cssScale) {
    const choice = data.choices[k];
    const colours = choice.colours[chosen.vision];
    const fine = window.devicePixelRatio || 1;
    const scale = Math.min(cssScale * fine, Math.sqrt(MOST_PIXELS / (width * height)));
    canvas.width = Math.max(1, Math.round(width * scale));
    canvas.height = Math.max(1, Math.round(height * scale));
    canvas.style.width = `${width * cssScale}px`;
    canvas.style.height = `${height * cssScale}px`;
    canvas.dataset.k = k;
    const label = data.visions[chosen.vision];
    canvas.setAttribute("aria-label", `Chart in ${named(k)}, seen with: ${label}`);
    // Drawn by the processor: emulated graphics take a second for as many small shapes.
    const pen = canvas.getContext("2d", { willReadFrequently: true });
    for (const bead of inPaintingOrder) {
      const colour = colours[placeOf(choice.cells[bead])];
      if (levels[bead] === 0) paintFlat(pen, scale, places[bead], colour);
      else {
        paintFlat(pen, scale, places[bead], outline(colour, 0.6));
        paintRaised(pen, scale, places[bead], colour, data.drawn[levels[bead]]);
      }
    }
  }

  function roomIn(box) {
    const style = getComputedStyle(box);
    return Math.max(40, box.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight));
  }

  function showView(view) {
    const k = String(chosen[view.dataset.side]);
    const scroller = view.querySelector(".scroller");
    const room = roomIn(scroller);
    const whole = Math.min(room / width, 0.72 * window.innerHeight / height);
    const large = Math.max(room / width, LARGE_BEAD / data.slot[0]);
    const capped = Math.min(large, 1.5 * LARGE_BEAD / Math.min(...data.slot));
    paint(scroller.querySelector("canvas"), k, chosen.zoom === "whole" ? whole : Math.max(capped, whole));
    const facts = document.querySelector(`article[data-k="${k}"] .facts`).cloneNode(true);
    facts.querySelector("details").open = window.innerWidth > 700;
    view.querySelector("h3").textContent = `${view.dataset.side}: ${named(k)}`;
    view.querySelector(".filled").replaceChildren(facts);
    view.querySelector("select").value = k;
  }

  function showSwatches() {
    for (const swatch of document.querySelectorAll(".swatch rect")) swatch.setAttribute("fill", swatch.dataset[chosen.vision]);
  }

  function showStatus() {
    for (const button of document.querySelectorAll("button[data-side]")) {
      button.setAttribute("aria-pressed", String(String(chosen[button.dataset.side]) === button.dataset.k));
    }
    document.getElementById("status").textContent =
      `Left: ${named(chosen.Left)}. Right: ${named(chosen.Right)}. Seen with: ${data.visions[chosen.vision]}.`;
  }

  function showViews() {
    document.querySelectorAll(".view").forEach(showView);
    showSwatches();
    showStatus();
  }

  function showAll() {
    for (const card of document.querySelectorAll("article")) {
      const box = card.querySelector(".thumb");
      paint(box.querySelector("canvas"), card.dataset.k, Math.min(roomIn(box) / width, THUMB_HEIGHT / height));
    }
    showViews();
  }

  function scrollTogether() {
    const [one, other] = document.querySelectorAll(".scroller");
    const follow = (leader, follower) => leader.addEventListener("scroll", () => {
      if (Math.abs(follower.scrollTop - leader.scrollTop) > 1) follower.scrollTop = leader.scrollTop;
      if (Math.abs(follower.scrollLeft - leader.scrollLeft) > 1) follower.scrollLeft = leader.scrollLeft;
    });
    follow(one, other);
    follow(other, one);
  }

  for (const view of document.querySelectorAll(".view")) {
    view.querySelector("select").addEventListener("change", (event) => {
      chosen[view.dataset.side] = event.target.value;
      showViews();
    });
  }
  for (const button of document.querySelectorAll("button[data-side]")) {
    button.addEventListener("click", () => {
      chosen[button.dataset.side] = button.dataset.k;
      showViews();
      document.querySelector(`.view[data-side="${button.dataset.side}"]`).scrollIntoView({ block: "nearest" });
    });
  }
  for (const name of ["vision", "zoom"]) {
    for (const radio of document.querySelectorAll(`input[name="${name}"]`)) {
      radio.addEventListener("change", () => {
        chosen[name] = radio.value;
        if (name === "vision") showAll();
        else showViews();
      });
    }
  }
  let seenWidth = window.innerWidth;
  window.addEventListener("resize", () => {
    if (window.innerWidth === seenWidth) return;
    seenWidth = window.innerWidth;
    window.requestAnimationFrame(showAll);
  });
  scrollTogether();
  showAll();
})();
