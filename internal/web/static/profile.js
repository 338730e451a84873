// Draws the points of a mould's half section on a grid, where they can be dragged. The text area is
// what counts: every change is written there, and what is typed there is drawn again.

const NS = "http://www.w3.org/2000/svg";

function readPoints(text) {
  return text.trim().split("\n").map((row) => row.trim().split(/[\s;]+/).map((x) => Number(x.replace(",", ".").replace("mm", "")))).filter((p) => p.length >= 2 && p.every(Number.isFinite));
}

const write = (points) => points.map((p) => p.map((x) => Math.round(x * 10) / 10).join(" ")).join("\n");

function element(name, attributes, parent) {
  const e = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
  parent?.append(e);
  return e;
}

function setUp(box) {
  const area = document.getElementById(box.dataset.profile);
  if (!area || box.querySelector("svg")) return;
  const svg = element("svg", { viewBox: "-10 -10 320 220", role: "group", "aria-label": "Half section: points that can be moved" });
  box.insertBefore(svg, area.nextSibling);
  const scale = 2; // units in a millimetre
  let points = readPoints(area.value);
  let held = -1;

  const send = () => area.dispatchEvent(new Event("change", { bubbles: true }));
  const toPoint = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [Math.max(0, Math.round(at.x / scale)), Math.max(0, Math.round((200 - at.y) / scale))];
  };

  function draw(focused = -1) {
    svg.replaceChildren();
    for (let x = 0; x <= 300; x += 20) element("line", { x1: x, x2: x, y1: 0, y2: 200, class: "grid" }, svg);
    for (let y = 0; y <= 200; y += 20) element("line", { x1: 0, x2: 300, y1: y, y2: y, class: "grid" }, svg);
    element("line", { x1: 0, x2: 0, y1: -6, y2: 206, class: "axis" }, svg);
    element("polyline", { points: points.map(([r, z]) => `${r * scale},${200 - z * scale}`).join(" "), class: "wall" }, svg);
    points.forEach(([r, z], i) => {
      const dot = element("circle", { cx: r * scale, cy: 200 - z * scale, r: 7, class: "point", tabindex: 0, role: "button", "aria-label": `Point ${i + 1}: ${r} mm from the axis, ${z} mm up`, "data-i": i }, svg);
      if (i === focused) dot.focus();
    });
  }

  function changed(focused) {
    area.value = write(points);
    draw(focused);
  }

  svg.addEventListener("pointerdown", (event) => {
    const dot = event.target.closest?.(".point");
    held = dot ? Number(dot.dataset.i) : -1;
    if (held < 0) {
      const p = toPoint(event);
      let at = points.findIndex((q) => q[1] > p[1]);
      if (at < 0) at = points.length;
      points.splice(at, 0, p);
      held = at;
      changed(held);
    }
    svg.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  svg.addEventListener("pointermove", (event) => {
    if (held < 0) return;
    const [r, z] = toPoint(event);
    points[held] = [r, z, ...points[held].slice(2)];
    changed(held);
  });
  svg.addEventListener("pointerup", () => {
    if (held >= 0) send();
    held = -1;
  });
  svg.addEventListener("keydown", (event) => {
    const i = Number(event.target.dataset?.i ?? -1);
    const move = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (i < 0 || (!move && event.key !== "Delete" && event.key !== "Backspace")) return;
    event.preventDefault();
    if (move) {
      const step = event.shiftKey ? 10 : 1;
      points[i] = [Math.max(0, points[i][0] + move[0] * step), Math.max(0, points[i][1] + move[1] * step), ...points[i].slice(2)];
      changed(i);
    } else if (points.length > 2) {
      points.splice(i, 1);
      changed(Math.min(i, points.length - 1));
    }
    send();
  });
  area.addEventListener("input", () => {
    points = readPoints(area.value);
    draw();
  });
  draw();
}

const setUpAll = () => document.querySelectorAll("[data-profile]").forEach(setUp);
document.addEventListener("DOMContentLoaded", setUpAll);
document.addEventListener("htmx:after:swap", setUpAll);
setUpAll();
