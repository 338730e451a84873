// What a page does beyond its forms. Everything here is a convenience: without script the same
// forms are sent by their buttons.

import "./section.js";
import "./layers.js";

const page = () => document.getElementById("page");
const fieldsOf = (root) => root.querySelectorAll("input:not([type=hidden]), select");

// Forms wait for each other. One that has waited must name the version that it changes now.
document.addEventListener("htmx:before:request", (event) => {
  const { request } = event.detail.ctx;
  const version = request.form?.elements.namedItem("version");
  if (version && request.body instanceof URLSearchParams) request.body.set("version", version.value);
});

// The morph leaves what the cook has typed into a field. Once the answer is there, a field shows
// what holds; the one that is being edited too, unless it was typed in meanwhile.
let sent = new Map();
document.addEventListener("htmx:before:request", (event) => {
  sent = new Map([...fieldsOf(page())].map((f) => [f.id, f.value]));
});
document.addEventListener("htmx:after:swap", () => {
  // What is open stays open, and what is closed closed, but for what a refused line may be.
  for (const d of page().querySelectorAll("details[data-refused]")) d.open = true;
  for (const f of fieldsOf(page())) {
    if (f instanceof HTMLSelectElement) {
      const chosen = [...f.options].find((o) => o.defaultSelected);
      if (chosen && !chosen.selected) f.value = chosen.value;
    } else if (f !== document.activeElement) {
      if (f.value !== f.defaultValue) f.value = f.defaultValue;
    } else if (f.value === sent.get(f.id) && f.value !== f.defaultValue) {
      const { selectionStart, selectionEnd } = f;
      f.value = f.defaultValue;
      if (selectionStart !== null) f.setSelectionRange(selectionStart, selectionEnd);
    }
  }
});

// A layer in the drawing, or its leader, leads to its figures.
document.addEventListener("click", (event) => {
  const drawn = event.target.closest(".section [data-layer]");
  const link = event.target.closest('.section a[href^="#"], .checks a[href^="#"]');
  const item = drawn
    ? document.querySelector(`[data-fields="${CSS.escape(drawn.dataset.layer)}"]`)
    : link && document.getElementById(link.getAttribute("href").slice(1));
  const first = item && fieldsOf(item)[0];
  if (!first) return;
  event.preventDefault();
  item.scrollIntoView({ block: "center" });
  first.focus({ preventScroll: true });
  first.select?.();
});

// A field in another cell than its form tells the form that it has changed.
document.addEventListener("change", (event) => {
  const { form } = event.target;
  if (form && !form.contains(event.target)) form.dispatchEvent(new Event("change"));
});

// While a name is searched for, its field's list proposes what it may become.
let asked = 0;
document.addEventListener("input", (event) => {
  const field = event.target.closest?.("[data-suggest]");
  if (!field) return;
  clearTimeout(asked);
  asked = setTimeout(async () => {
    const from = field.dataset.from ?? "/ingredients";
    const answer = await fetch(`${from}?q=${encodeURIComponent(field.value)}`);
    const list = document.getElementById(field.dataset.suggest);
    if (answer.ok && list) list.innerHTML = await answer.text();
  }, 120);
});

// Arrow keys change a figure by one; with Shift by ten, with Alt by a tenth.
let pause = 0;
document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (!(field instanceof HTMLInputElement) || !field.matches(".dim, .count")) return;
  const direction = { ArrowUp: 1, ArrowDown: -1 }[event.key];
  const parts = direction && field.value.match(/^(\s*)(\d+(?:\.\d+)?)(.*)$/);
  if (!parts || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  const step = event.shiftKey ? 10 : event.altKey && field.matches(".dim") ? 0.1 : 1;
  const least = field.matches(".count") ? 1 : 0;
  const value = Math.max(least, Math.round((Number(parts[2]) + direction * step) * 100) / 100);
  field.value = parts[1] + value + parts[3];
  clearTimeout(pause);
  pause = setTimeout(() => field.dispatchEvent(new Event("change", { bubbles: true })), 200);
});
