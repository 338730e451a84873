// Edges of layers in the section are moved by pointer or keyboard. A move sets the layer's own
// field and has the page try it out; the figure is stored when the edge is let go.

const STEP = 0.5, FINE = 0.1, FAR = 5, SNAP = 1.5; // millimetres
const PAUSE = 80; // milliseconds between two trials at least
const REST = 700; // after the last key, until it is stored

let move = null; // the move that is under way

const round = (x, step) => Math.round(Math.round(x / step) * step * 1000) / 1000;
const edgeOf = (id) => document.getElementById(id);
const number = (element, name) => Number(element.dataset[name]);

// place returns where a pointer is in the section, in millimetres.
function place(svg, event) {
  const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const mm = number(svg, "mmPerUnit");
  return { x: Math.abs(p.x - number(svg, "axisX")) * mm, y: (number(svg, "groundY") - p.y) * mm };
}

// nearest returns the edge closest to a pointer: those of thin layers lie under one finger.
function nearest(svg, at) {
  let best = null, least = Infinity;
  const slack = 10 * number(svg, "mmPerUnit");
  for (const edge of svg.querySelectorAll(".edge")) {
    const upright = edge.matches(".horizontal");
    const [along, across] = upright ? [at.y, at.x] : [at.x, at.y];
    const beside = Math.max(number(edge, "from") - along, along - number(edge, "to"), 0);
    const off = Math.hypot(Math.abs(across - number(edge, "at")), Math.max(0, beside - slack) * 4);
    if (off < least - 0.01) [best, least] = [edge, off];
  }
  return best;
}

function begin(edge, way) {
  const form = document.getElementById(edge.dataset.field)?.form;
  if (!form) return null;
  const { levels, sides } = edge.closest(".edges").dataset; // as they are stored: a trial moves them
  const upright = edge.matches(".horizontal");
  const now = {
    id: edge.id, field: edge.dataset.field, form: form.id, upright, figure: edge.dataset.figure, way,
    drawing: edge.closest("#section-narrow") ? "narrow" : "wide",
    from: number(edge, "at"), at: number(edge, "at"), value: number(edge, "value"), per: number(edge, "per"),
    low: Number(edge.getAttribute("aria-valuemin")), top: Number(edge.getAttribute("aria-valuemax")),
    near: (upright ? sides : levels).split(" ").map(Number).filter((x) => Math.abs(x - number(edge, "at")) > 0.01),
    typed: document.getElementById(edge.dataset.field).value, sent: 0, asked: false, tried: false, timer: 0,
  };
  edge.ownerSVGElement.classList.add("moving");
  return now;
}

// figureAt is the figure for the place of an edge.
const figureAt = (m, at) => Math.round((m.value + m.per * (at - m.from)) * 100) / 100;

// moveTo moves the edge, in steps of its figure or onto an edge nearby.
function moveTo(at, { fine = false, snap = true } = {}) {
  const m = move;
  at = Math.min(Math.max(at, m.low), m.top);
  const step = fine ? FINE : STEP;
  let to = m.from + (round(figureAt(m, at), step) - m.value) / m.per;
  if (snap && !fine) {
    let least = SNAP;
    for (const there of m.near) {
      const off = Math.abs(there - at);
      if (off < least && there >= m.low && there <= m.top) [to, least] = [there, off];
    }
  }
  if (Math.abs(to - m.at) < 1e-6) return;
  m.at = to;
  m.moved = true;
  draw();
  tryOut();
}

const figureOf = (m) => `${figureAt(m, m.at)} mm`;

// draw shows where the edge is held, with its figure.
function draw() {
  document.querySelectorAll(".guide").forEach((g) => g.remove());
  const edge = move && edgeOf(move.id);
  const svg = edge?.ownerSVGElement;
  if (!svg) return;
  edge.setAttribute("aria-valuenow", String(Math.round(move.at * 100) / 100));
  edge.setAttribute("aria-valuetext", `${move.figure} ${figureOf(move)}`);
  const mm = number(svg, "mmPerUnit"), axis = number(svg, "axisX"), ground = number(svg, "groundY");
  const [, , , height] = svg.getAttribute("viewBox").split(" ").map(Number);
  const half = Math.max(move.at, ...edge.closest(".edges").dataset.sides.split(" ").map(Number)) / mm + 14;
  const guide = document.createElementNS(svg.namespaceURI, "g");
  guide.setAttribute("class", "guide");
  const line = document.createElementNS(svg.namespaceURI, "path");
  const label = document.createElementNS(svg.namespaceURI, "text");
  label.textContent = `${move.figure} ${figureOf(move)}`;
  if (move.upright) {
    const x = move.at / mm;
    const levels = edge.closest(".edges").dataset.levels.split(" ").map(Number);
    const top = ground - Math.max(...levels) / mm - 14, low = Math.min(height, ground - Math.min(...levels) / mm + 14);
    line.setAttribute("d", `M${axis - x} ${top}V${low}M${axis + x} ${top}V${low}`);
    label.setAttribute("x", String(axis + 10));
    label.setAttribute("y", String(Math.max(14, top + 4)));
  } else {
    const y = ground - move.at / mm;
    line.setAttribute("d", `M${Math.max(2, axis - half)} ${y}H${axis + half}`);
    label.setAttribute("x", String(axis + 10));
    label.setAttribute("y", String(Math.max(14, y - 6)));
  }
  guide.append(line, label);
  svg.append(guide);
}

// hold keeps as it is what the answer to a trial leaves out: the drawing that is not looked at, the
// timeline, and what stands under More.
function hold(m, held) {
  const other = m.drawing === "wide" ? "narrow" : "wide";
  for (const part of document.querySelectorAll(`#section-${other}, #times, details.more`)) part.toggleAttribute("hx-morph-skip", held);
}

// send puts the figure into the layer's form and sends it; a trial stores nothing.
function send(m, text, trial) {
  const form = document.getElementById(m.form), field = document.getElementById(m.field);
  if (!form || !field) return false;
  form.elements.namedItem("try").value = trial ? m.drawing : "";
  hold(m, trial);
  field.value = text;
  form.requestSubmit();
  return true;
}

// tryOut has the page show what the move would give: one answer at a time, never more often than
// is worth drawing.
function tryOut() {
  const m = move;
  if (m.asked || m.timer) return;
  const wait = Math.max(0, m.sent + PAUSE - performance.now());
  m.timer = setTimeout(() => {
    m.timer = 0;
    if (move !== m || m.asked) return;
    m.last = figureOf(m);
    m.sent = performance.now();
    m.asked = m.tried = send(m, m.last, true);
  }, wait);
}

document.addEventListener("htmx:after:swap", () => {
  if (move) move.asked = false;
  if (move?.ended) return void finish();
  if (!move) return;
  draw();
  edgeOf(move.id)?.ownerSVGElement.classList.add("moving");
  if (move.last !== figureOf(move)) tryOut();
});

// An answer that does not come must not hold the move.
for (const name of ["htmx:error", "htmx:abort"]) {
  document.addEventListener(name, () => {
    if (move) move.asked = false;
    if (move?.ended) finish();
  });
}

// end stores the move, or takes it back; a trial that is under way is waited for.
function end(keep) {
  clearTimeout(move.rest);
  clearTimeout(move.timer);
  move.timer = 0;
  move.ended = keep ? "keep" : "cancel";
  if (!move.asked) finish();
}

function finish() {
  const m = move;
  if (m.ended === "cancel") {
    m.at = m.from;
    draw(); // the edge says again where it lies
  }
  move = null;
  draw();
  document.querySelectorAll("svg.moving").forEach((s) => s.classList.remove("moving"));
  if (m.ended === "keep" && m.moved && Math.abs(m.at - m.from) > 1e-6) send(m, figureOf(m), false);
  else if (m.tried) {
    hold(m, false);
    const address = document.getElementById(m.form)?.elements.namedItem("page")?.value;
    const field = document.getElementById(m.field);
    if (field) field.value = m.typed;
    if (address) htmx.ajax("GET", address, { target: "#page", swap: "outerMorph" });
  }
}

document.addEventListener("pointerdown", (event) => {
  const target = event.target.closest?.(".edge");
  if (!target || event.button !== 0 || move) return;
  const svg = target.ownerSVGElement, at = place(svg, event);
  const edge = nearest(svg, at) ?? target;
  move = begin(edge, "pointer");
  if (!move) return;
  event.preventDefault();
  edge.focus({ preventScroll: true });
  move.pointer = event.pointerId;
  // The way of the pointer counts, at the scale of the start: the drawing makes room as it changes.
  const mm = number(svg, "mmPerUnit") / svg.getScreenCTM().a;
  const left = move.upright && event.clientX < new DOMPoint(number(svg, "axisX"), 0).matrixTransform(svg.getScreenCTM()).x;
  move.start = [event.clientX, event.clientY];
  move.went = (x, y) => (move.upright ? (x - move.start[0]) * (left ? -mm : mm) : (move.start[1] - y) * mm);
  svg.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (move?.way !== "pointer" || event.pointerId !== move.pointer || move.ended) return;
  if (!move.dragged && Math.hypot(event.clientX - move.start[0], event.clientY - move.start[1]) < 3) return;
  move.dragged = true;
  moveTo(move.from + move.went(event.clientX, event.clientY), { fine: event.shiftKey });
});

document.addEventListener("pointerup", (event) => {
  if (move?.way !== "pointer" || event.pointerId !== move.pointer || move.ended) return;
  const { dragged } = move;
  end(true);
  if (dragged) return;
  // It was a click: on the layer that is drawn there.
  const drawn = document.elementsFromPoint(event.clientX, event.clientY).find((e) => e.matches(".section [data-layer]"));
  drawn?.dispatchEvent(new MouseEvent("click", { bubbles: true }));
});

document.addEventListener("pointercancel", (event) => {
  if (move?.way === "pointer" && event.pointerId === move.pointer && !move.ended) end(false);
});

document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && move && !move.ended) {
    event.preventDefault();
    return end(false);
  }
  const edge = event.target.closest?.(".edge");
  if (!edge || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Enter" && move?.way === "keys") {
    event.preventDefault();
    return end(true);
  }
  const direction = { ArrowUp: 1, ArrowRight: 1, PageUp: 10, ArrowDown: -1, ArrowLeft: -1, PageDown: -10 }[event.key];
  const border = { Home: "low", End: "top" }[event.key];
  if (!direction && !border || move && (move.way !== "keys" || move.ended)) return;
  event.preventDefault();
  if (!move) move = begin(edge, "keys");
  if (!move) return;
  const by = event.shiftKey ? FAR : STEP;
  moveTo(border ? move[border] : move.at + (direction * by) / Math.max(1, Math.abs(move.per)), { fine: true, snap: false });
  clearTimeout(move.rest);
  move.rest = setTimeout(() => move?.way === "keys" && !move.ended && end(true), REST);
});

document.addEventListener("focusout", (event) => {
  if (move?.way === "keys" && event.target.id === move.id && !move.ended && !move.asked) end(true);
});
