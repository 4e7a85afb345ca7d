// The work in space, to be turned about.
// Axes: x to the right, y up from the table, z towards the reader. Nothing is drawn unless something changed.

const space = data.shape && (() => {
  let canvas = byId("space");
  const QUICK_MS = 40;
  const PATIENT_MS = 300;
  const FINEST = 2;
  const solids = data.shape.solids;
  const centres = Float32Array.from(unpacked(data.shape.places, Int16Array), (steps16) => steps16 * data.shape.quantum);
  const axes = unpacked(data.shape.axes, Int8Array);
  const count = kindOf.length;
  const span = [0, 1, 2].map((axis) => {
    let [low, high] = [0, 0];
    for (let at = axis; at < centres.length; at += 3) [low, high] = [Math.min(low, centres[at]), Math.max(high, centres[at])];
    return [low, high];
  });
  const thickest = Math.max(...solids.map(([half, radius]) => Math.hypot(half, radius)));
  const linear = (code) => (code / 255) ** 2.2;
  const colours = kinds.map(({ colour }) => [1, 3, 5].map((at) => linear(parseInt(colour.slice(at, at + 2), 16))));
  const TIP = 0.75;
  let look = { turn: 0, tip: TIP, zoom: 1 };

  // Rows of the camera: to the right, up, and towards the eye.
  function cameraAxes({ turn, tip }) {
    const [sin, cos] = [Math.sin(turn), Math.cos(turn)];
    const [low, high] = [Math.cos(tip), Math.sin(tip)];
    return [[cos, 0, -sin], [-sin * high, low, -cos * high], [sin * low, high, cos * low]];
  }

  const dot = (one, other) => one[0] * other[0] + one[1] * other[1] + one[2] * other[2];

  // Millimetres from the middle to the edge of all beads, along the camera's axes.
  function reach(camera) {
    return camera.map((axis) => axis.reduce((sum, part, at) => sum + Math.abs(part) * (span[at][1] - span[at][0]) / 2, thickest));
  }

  // Nearer, the middle of the picture goes from the middle of the work to her row.
  function middle() {
    const step = steps[Math.min(place.done, steps.length - 1)];
    const part = Math.min(1, (look.zoom - 1) / 1.5);
    return [0, 1, 2].map((axis) => {
      let sum = 0;
      for (let bead = step.start; bead < step.end; bead += 1) sum += centres[3 * bead + axis];
      const all = (span[axis][0] + span[axis][1]) / 2;
      return all + part * (sum / Math.max(1, step.end - step.start) - all);
    });
  }

  function scaleOf(camera, width, height, zoom) {
    const [across, up] = reach(camera);
    return zoom * Math.min(width / (2 * across), height / (2 * up)) * 0.96;
  }

  // Turned so that the work fills the picture best.
  function best(tip) {
    const turns = Array.from({ length: 25 }, (_, at) => ((at - 18) * Math.PI) / 24);
    const sizes = turns.map((turn) => scaleOf(cameraAxes({ turn, tip }), canvas.clientWidth, canvas.clientHeight, 1));
    return { turn: turns[sizes.indexOf(Math.max(...sizes))], tip, zoom: 1 };
  }

  function sized(fine) {
    const size = [canvas.clientWidth, canvas.clientHeight].map((side) => Math.max(1, Math.round(side * fine)));
    if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
    return size;
  }

  function ground() {
    const probe = getComputedStyle(canvas).backgroundColor.match(/[\d.]+/g) || [128, 128, 128];
    return probe.slice(0, 3).map((code) => Number(code) / 255);
  }

  function built(gl, kind, text) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    return shader;
  }

  function instances() {
    const values = new Float32Array(12 * count);
    for (let bead = 0; bead < count; bead += 1) {
      const kind = kindOf[bead];
      const own = axes.subarray(3 * bead, 3 * bead + 3);
      values.set(centres.subarray(3 * bead, 3 * bead + 3), 12 * bead);
      values.set(own, 12 * bead + 3);
      values.set(solids[kinds[kind].level].slice(0, 3), 12 * bead + 6);
      values.set(colours[kind], 12 * bead + 9);
    }
    return values;
  }

  function attribute(gl, program, name, size, stride, at, each) {
    const where = gl.getAttribLocation(program, name);
    gl.enableVertexAttribArray(where);
    gl.vertexAttribPointer(where, size, gl.FLOAT, false, stride, at);
    gl.vertexAttribDivisor(where, each);
  }

  // Returns what draws with WebGL2, or null where that is missing.
  function inSpace() {
    const gl = canvas.getContext("webgl2", { antialias: false, alpha: false });
    if (!gl) return null;
    const program = gl.createProgram();
    gl.attachShader(program, built(gl, gl.VERTEX_SHADER, POINT_SHADER));
    gl.attachShader(program, built(gl, gl.FRAGMENT_SHADER, BEAD_SHADER));
    gl.linkProgram(program);
    if (!gl.getProgramParameter(program, gl.LINK_STATUS)) return null;
    gl.useProgram(program);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]), gl.STATIC_DRAW);
    attribute(gl, program, "corner", 2, 0, 0, 0);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    gl.bufferData(gl.ARRAY_BUFFER, instances(), gl.STATIC_DRAW);
    ["centre", "axis", "solid", "colour"].forEach((name, at) => attribute(gl, program, name, 3, 48, 12 * at, 1));
    gl.enable(gl.DEPTH_TEST);
    const uniform = (name) => gl.getUniformLocation(program, name);
    const [camera, about, fit] = ["camera", "middle", "fit"].map(uniform);
    return (fine) => {
      const [width, height] = sized(fine);
      const rows = cameraAxes(look);
      const scale = scaleOf(rows, width, height, look.zoom);
      gl.viewport(0, 0, width, height);
      gl.clearColor(...ground(), 1);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.uniformMatrix3fv(camera, true, rows.flat());
      gl.uniform3fv(about, middle());
      gl.uniform3f(fit, (2 * scale) / width, (2 * scale) / height, 1 / (2 * reach(rows)[2] + 1));
      gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, count);
      const sync = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
      gl.flush();
      return () => !gl.isContextLost() && gl.clientWaitSync(sync, 0, 0) === gl.TIMEOUT_EXPIRED;
    };
  }

  function outline(pen, x, y, reach, radius, angle, round) {
    pen.beginPath();
    if (round) {
      pen.ellipse(x, y, reach, radius, angle, 0, 2 * Math.PI);
      return;
    }
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    for (const [along, across] of [[-reach, -radius], [reach, -radius], [reach, radius], [-reach, radius]]) {
      pen.lineTo(x + along * cos - across * sin, y + along * sin + across * cos);
    }
    pen.closePath();
  }

  // A still picture without WebGL: the outlines of the same beads, the farthest first.
  function onPaper() {
    const pen = canvas.getContext("2d");
    return () => {
      const [width, height] = sized(Math.min(FINEST, window.devicePixelRatio || 1));
      const camera = cameraAxes(look);
      const scale = scaleOf(camera, width, height, look.zoom);
      const [about, places3] = [middle(), []];
      for (let bead = 0; bead < count; bead += 1) {
        const from = [0, 1, 2].map((axis) => centres[3 * bead + axis] - about[axis]);
        places3.push([bead, ...camera.map((axis) => dot(axis, from))]);
      }
      places3.sort((one, other) => one[3] - other[3]);
      pen.fillStyle = `rgb(${ground().map((part) => Math.round(255 * part)).join(",")})`;
      pen.fillRect(0, 0, width, height);
      for (const [bead, x, y] of places3) {
        const [half, radius] = solids[kinds[kindOf[bead]].level];
        const hole = Array.from(axes.subarray(3 * bead, 3 * bead + 3), (part) => part / 127);
        const [right, up] = [dot(camera[0], hole), dot(camera[1], hole)];
        const along = Math.min(1, Math.hypot(right, up));
        const reach = scale * Math.max(half * along, radius * Math.sqrt(1 - along ** 2));
        outline(pen, width / 2 + x * scale, height / 2 - y * scale, reach, scale * radius, Math.atan2(-up, right), kinds[kindOf[bead]].round);
        pen.fillStyle = kinds[kindOf[bead]].colour;
        pen.fill();
        pen.strokeStyle = "rgba(0, 0, 0, 0.45)";
        pen.lineWidth = Math.max(0.5, 0.06 * scale);
        pen.stroke();
      }
      return () => false;
    };
  }

  look = best(TIP);
  let paint = null;
  let still = false;
  let asked = 0;
  let settle = 0;
  let seen = false;
  let drawing = false;
  let next = null;
  let msAtOne = 1;

  function begin() {
    paint = inSpace();
    if (paint) return;
    still = true;
    if (canvas.getContext("webgl2")) {
      const fresh = canvas.cloneNode();
      canvas.replaceWith(fresh);
      canvas = fresh;
    }
    paint = onPaper();
    byId("turning").hidden = true;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", "A picture of the work in space");
    canvas.removeAttribute("tabindex");
    words();
  }

  function words() {
    const what = data.shape.flat ? "All beads are of one size, so the work lies flat." : `Predicted from bead measures; ${data.shape.trust}.`;
    const how = still ? "This browser cannot turn it, so this is a still picture." : "Drag it with finger or mouse, or use the arrow keys and the buttons.";
    byId("shape-words").textContent = `${what} ${how}`;
  }

  // The page goes on while the picture is made; how long that takes is measured.
  function drawn(fine) {
    const before = performance.now();
    const busy = paint(fine);
    drawing = true;
    const watch = () => {
      if (busy()) {
        setTimeout(watch, 8);
        return;
      }
      drawing = false;
      msAtOne = Math.max(1, (performance.now() - before) / fine ** 2);
      const moving = next;
      next = null;
      if (moving !== null) redraw(moving);
    };
    setTimeout(watch, 0);
  }

  const fineness = (ms, least, most) => Math.max(least, Math.min(most, Math.sqrt(ms / msAtOne)));

  // While it moves it is drawn as coarse as it must be to stay quick, and finely once it rests.
  function redraw(moving) {
    if (!seen) return;
    if (drawing) {
      next = moving || next === true;
      return;
    }
    if (asked) return;
    asked = requestAnimationFrame(() => {
      asked = 0;
      if (!paint) begin();
      clearTimeout(settle);
      drawn(moving ? fineness(QUICK_MS, 0.4, 1) : fineness(PATIENT_MS, 1, FINEST));
      if (moving) settle = setTimeout(() => redraw(false), 180);
    });
  }

  function turned(turn, tip, zoom) {
    if (still) return;
    touched = true;
    look.turn += turn;
    look.tip = Math.max(-0.35, Math.min(Math.PI / 2, look.tip + tip));
    look.zoom = Math.max(1, Math.min(12, look.zoom * zoom));
    redraw(true);
  }

  const STEP = Math.PI / 12;
  const moves = {
    left: () => turned(-STEP, 0, 1),
    right: () => turned(STEP, 0, 1),
    up: () => turned(0, -STEP, 1),
    down: () => turned(0, STEP, 1),
    in: () => turned(0, 0, 1.3),
    out: () => turned(0, 0, 1 / 1.3),
    above: () => {
      look = best(Math.PI / 2);
      redraw(false);
    },
    home: () => {
      look = best(TIP);
      redraw(false);
    },
  };
  const keys = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down", "+": "in", "=": "in", "-": "out", Home: "home" };

  canvas.addEventListener("keydown", (event) => {
    const move = keys[event.key];
    if (!move || still || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    moves[move]();
  });
  byId("turning").addEventListener("click", (event) => {
    const move = event.target.dataset.turn;
    if (move) moves[move]();
  });

  // One finger or the mouse turns, two fingers also change the size.
  const held = new Map();
  const apart = () => {
    const [one, other] = [...held.values()];
    return other ? Math.hypot(one[0] - other[0], one[1] - other[1]) : 0;
  };
  canvas.addEventListener("pointerdown", (event) => {
    held.set(event.pointerId, [event.clientX, event.clientY]);
    canvas.setPointerCapture(event.pointerId);
    canvas.classList.add("held");
  });
  canvas.addEventListener("pointermove", (event) => {
    const before = held.get(event.pointerId);
    if (!before) return;
    const far = apart();
    held.set(event.pointerId, [event.clientX, event.clientY]);
    const [dx, dy] = [event.clientX - before[0], event.clientY - before[1]];
    if (held.size === 1) turned(-dx / 150, dy / 150, 1);
    else if (far > 20) turned(0, 0, apart() / far);
  });
  for (const name of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(name, (event) => {
      held.delete(event.pointerId);
      if (!held.size) canvas.classList.remove("held");
    });
  }
  // A page is scrolled with the wheel, so the wheel alone only counts once the picture was chosen.
  canvas.addEventListener("wheel", (event) => {
    if (still || (document.activeElement !== canvas && !event.ctrlKey)) return;
    event.preventDefault();
    turned(0, 0, Math.exp(-event.deltaY / 400));
  }, { passive: false });

  // Only what is in sight is drawn.
  new IntersectionObserver((entries) => {
    const before = seen;
    seen = entries[entries.length - 1].isIntersecting;
    if (!before && seen) redraw(false);
  }, { rootMargin: "200px" }).observe(canvas);
  canvas.addEventListener("webglcontextlost", (event) => event.preventDefault());
  canvas.addEventListener("webglcontextrestored", () => {
    paint = null;
    redraw(false);
  });
  let touched = false;
  let sizeSeen = canvas.clientWidth;
  new ResizeObserver(() => {
    if (canvas.clientWidth === sizeSeen) return;
    sizeSeen = canvas.clientWidth;
    if (!touched) look = best(TIP);
    redraw(false);
  }).observe(canvas);
  words();
  return {
    recolour: () => redraw(false),
    follow: () => {
      if (look.zoom > 1) redraw(true);
    },
  };
})();
