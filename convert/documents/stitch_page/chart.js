// The chart: only what can be seen of it is drawn.

const chart = (() => {
  const scroller = byId("scroller");
  const spread = byId("spread");
  const canvas = byId("picture");
  // Drawn by the processor: a thousand small outlines are a matter of milliseconds to it, and of a second to graphics
  // that are emulated.
  const pen = canvas.getContext("2d", { willReadFrequently: true });
  const [length, half] = data.slot;
  const width = data.columns * length;
  const height = (data.rows + 1) * half;
  const GUTTER = 44;
  const NEAREST = 34;
  const LETTERED = 20;
  let scale = 0;
  let wholeWanted = false;
  let inks = null;

  // Beads row by row as they lie on the chart, and the step that makes each row.
  const rows = [];
  steps.forEach((step, number) => {
    for (let bead = step.start; bead < step.end; bead += 1) {
      const down = places[2 * bead];
      (rows[down] = rows[down] || { step: number, beads: [] }).beads.push(bead);
    }
  });
  for (const row of rows) if (row) row.beads.sort((a, b) => kinds[kindOf[a]].level - kinds[kindOf[b]].level || a - b);

  const codes = (colour) => colour.match(/[\d.]+/g).slice(0, 3).map(Number);
  function mixed(one, other, part) {
    return `rgb(${one.map((code, at) => Math.round(code + (other[at] - code) * part)).join(",")})`;
  }

  function readInks() {
    const probe = element("span");
    document.body.append(probe);
    const ink = (name) => {
      probe.style.color = `var(--${name})`;
      return getComputedStyle(probe).color;
    };
    inks = { ink: ink("ink"), quiet: ink("quiet"), lit: ink("lit"), mat: ink("mat"), done: ink("done") };
    probe.remove();
    const ground = codes(inks.done);
    inks.kinds = kinds.map(({ colour, edge, ink: letter }) => {
      const own = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));
      return { fresh: colour, edge, letter, done: mixed(own, ground, 0.72), doneEdge: mixed(own, ground, 0.5) };
    });
  }

  const room = () => [Math.max(60, scroller.clientWidth), Math.max(60, scroller.clientHeight)];
  const scaleToWidth = () => Math.max(0.5, (room()[0] - 2 * GUTTER) / width);
  const scaleToAll = () => Math.min(scaleToWidth(), Math.max(0.2, (room()[1] - 16) / height));
  const most = () => Math.max(NEAREST / length, scaleToAll());

  function usual() {
    return Math.min(Math.max(scaleToWidth(), 13 / length), 26 / length);
  }

  function extent() {
    const [across, down] = room();
    const total = [width * scale + 2 * GUTTER, height * scale + 16];
    return { across, down, total, left: Math.max(GUTTER, (across - width * scale) / 2), top: Math.max(8, (down - height * scale) / 2) };
  }

  function resize() {
    const { across, down, total } = extent();
    spread.style.width = `${Math.max(across, Math.floor(total[0]))}px`;
    spread.style.height = `${Math.max(down, Math.floor(total[1]))}px`;
    const fine = Math.min(2, window.devicePixelRatio || 1);
    const size = [Math.round(across * fine), Math.round(down * fine)];
    if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
    canvas.style.width = `${across}px`;
    canvas.style.height = `${down}px`;
  }

  function outline(bead, x, y) {
    const { level, round } = kinds[kindOf[bead]];
    const [wide, high] = data.drawn[level].map((side) => side * scale);
    pen.beginPath();
    if (round) pen.ellipse(x, y, wide / 2, high / 2, 0, 0, 2 * Math.PI);
    else pen.rect(x - wide / 2 + 0.5, y - high / 2 + 0.5, wide - 1, high - 1);
  }

  function drawRow({ step, beads }, left, top) {
    const done = step < place.done;
    const small = half * scale < 3;
    const lettered = length * scale >= LETTERED;
    for (const bead of beads) {
      const kind = kindOf[bead];
      const ink = inks.kinds[kind];
      const [wide, high] = data.drawn[kinds[kind].level].map((side) => side * scale);
      const x = left + (places[2 * bead + 1] + 0.5) * length * scale;
      const y = top + (places[2 * bead] + 1) * half * scale;
      pen.fillStyle = done ? ink.done : ink.fresh;
      if (small) {
        pen.fillRect(x - wide / 2, y - high / 2, wide, high);
        continue;
      }
      outline(bead, x, y);
      pen.fill();
      pen.strokeStyle = done ? ink.doneEdge : ink.edge;
      pen.lineWidth = 1;
      pen.stroke();
      if (lettered && !done) letter(kind, x, y, wide);
    }
  }

  // Near enough, each bead that is still to come bears its kind.
  function letter(kind, x, y, wide) {
    const letters = kinds[kind].kind;
    pen.font = `600 ${Math.min(0.42 * 2 * half * scale, (1.35 * wide) / letters.length) | 0}px system-ui, sans-serif`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillStyle = inks.kinds[kind].letter;
    pen.fillText(letters, x, y + 0.5);
  }

  function frame(list, left, top, colour, line) {
    pen.strokeStyle = colour;
    pen.lineWidth = line;
    for (const { beads } of list) {
      for (const bead of beads) {
        outline(bead, left + (places[2 * bead + 1] + 0.5) * length * scale, top + (places[2 * bead] + 1) * half * scale);
        pen.stroke();
      }
    }
  }

  const downOf = (row) => (data.start === "top" ? row - 1 : data.rows - row);

  // The number stands where the needle begins; rows 1 and 2 begin at the tail.
  function number(step, left, top, lit) {
    const y = top + ((downOf(step.first) + downOf(step.last)) / 2 + 1) * half * scale;
    const name = step.first === step.last ? String(step.last) : `${step.first}+${step.last}`;
    const atLeft = step.direction === ">";
    pen.font = `${lit ? 700 : 400} ${lit ? 17 : 13}px system-ui, sans-serif`;
    pen.textAlign = atLeft ? "right" : "left";
    pen.textBaseline = "middle";
    pen.fillStyle = lit ? inks.lit : inks.quiet;
    pen.fillText(name, atLeft ? left - 12 : left + width * scale + 12, y);
    if (!lit) return;
    const edge = atLeft ? left - 2 : left + width * scale + 2;
    const back = atLeft ? -7 : 7;
    pen.beginPath();
    pen.moveTo(edge, y);
    pen.lineTo(edge + back, y - 6);
    pen.lineTo(edge + back, y + 6);
    pen.fill();
  }

  function draw() {
    if (!inks) readInks();
    const { across, down, left, top } = extent();
    const fine = canvas.width / across;
    const [x, y] = [left - scroller.scrollLeft, top - scroller.scrollTop];
    pen.setTransform(fine, 0, 0, fine, 0, 0);
    pen.fillStyle = inks.mat;
    pen.fillRect(0, 0, across, down);
    const first = Math.max(0, Math.floor(-y / (half * scale)) - 4);
    const last = Math.min(rows.length - 1, Math.ceil((down - y) / (half * scale)) + 4);
    for (let at = first; at <= last; at += 1) if (rows[at]) drawRow(rows[at], x, y);
    const now = steps[place.done];
    const apart = Math.ceil(14 / (2 * half * scale)) * 2;
    for (const step of steps) {
      const near = now && Math.abs(step.last - now.last) * half * scale < 18;
      const at = downOf(step.last);
      if (step !== now && !near && at >= first && at <= last && step.last > 2 && (step.last >> 1) % (apart >> 1) === 0) number(step, x, y, false);
    }
    if (now) {
      const lit = rows.filter((row) => row && row.step === place.done);
      for (const row of lit) drawRow(row, x, y);
      const line = Math.max(1.5, Math.min(4, half * scale * 0.28));
      frame(lit, x, y, inks.mat, line + 2);
      frame(lit, x, y, inks.lit, line);
      number(now, x, y, true);
    }
    const words = now ? `${rowName(now)} of ${data.rows} ${now.first === now.last ? "is" : "are"} framed; ${place.done ? "the rows before it are faint" : "nothing is done yet"}` : "all rows are done";
    canvas.setAttribute("aria-label", `Chart: ${words}`);
  }

  function find() {
    const now = steps[Math.min(place.done, steps.length - 1)];
    const { across, down, top, left } = extent();
    scroller.scrollTop = top + (downOf(now.last) + 1) * half * scale - down / 2;
    if (width * scale + 2 * GUTTER > across) scroller.scrollLeft = now.direction === ">" ? left - GUTTER : width * scale;
  }

  function show(wanted) {
    scale = wanted;
    resize();
    find();
    draw();
  }

  function zoom(part) {
    wholeWanted = false;
    show(Math.max(scaleToAll(), Math.min(most(), scale * part)));
  }

  let asked = 0;
  function drawSoon() {
    if (!asked) asked = requestAnimationFrame(() => {
      asked = 0;
      draw();
    });
  }

  byId("smaller").addEventListener("click", () => zoom(1 / 1.4));
  byId("larger").addEventListener("click", () => zoom(1.4));
  byId("whole").addEventListener("click", () => {
    wholeWanted = true;
    show(scaleToAll());
  });
  byId("find").addEventListener("click", () => {
    find();
    drawSoon();
  });
  scroller.addEventListener("scroll", drawSoon);
  return {
    start: () => show(usual()),
    fit: () => show(wholeWanted ? scaleToAll() : Math.max(scaleToAll(), Math.min(most(), scale || usual()))),
    follow: () => {
      find();
      draw();
    },
    recolour: () => {
      inks = null;
      draw();
    },
  };
})();
