// Layers are laid earlier or later by dragging them, and by Alt with an arrow. Both send the forms
// of the layers' own buttons.

const listed = (item) => [...document.querySelectorAll(".layer-item")].filter((o) => o.dataset.place && siblings(o, item));
const siblings = (a, b) => a.dataset.place.split("/layers/")[0] === b.dataset.place.split("/layers/")[0];

document.addEventListener("keydown", (event) => {
  const which = event.altKey && { ArrowUp: "earlier", ArrowDown: "later" }[event.key];
  const item = which && event.target.closest?.(".layer-item");
  if (!item || event.target.matches("input, select")) return;
  event.preventDefault();
  const button = item.querySelector(`.moves [value="${which}"]`);
  if (button && !button.hasAttribute("aria-disabled")) button.form.requestSubmit(button);
});

// The first and the last layer keep their places.
document.addEventListener("submit", (event) => {
  if (event.submitter?.getAttribute("aria-disabled") === "true") {
    event.preventDefault();
    event.stopImmediatePropagation();
  }
}, true);

let held = null;

document.addEventListener("pointerdown", (event) => {
  const item = event.target.closest?.(".grip")?.closest(".layer-item");
  if (!item || event.button !== 0) return;
  event.preventDefault();
  event.target.setPointerCapture(event.pointerId);
  held = { item, at: Number(item.dataset.index), to: null };
  item.classList.add("held");
});

document.addEventListener("pointermove", (event) => {
  if (!held) return;
  mark();
  const over = listed(held.item).find((o) => {
    const box = o.getBoundingClientRect();
    return event.clientY >= box.top && event.clientY < box.bottom;
  });
  held.to = null;
  if (!over || over === held.item) return;
  const index = Number(over.dataset.index), box = over.getBoundingClientRect();
  const after = event.clientY > (box.top + box.bottom) / 2;
  let to = index + (after ? 1 : 0);
  if (to > held.at) to -= 1; // it leaves its own place
  over.classList.add(after ? "after" : "before");
  held.to = to === held.at ? null : to;
});

function mark() {
  document.querySelectorAll(".layer-item.before, .layer-item.after").forEach((o) => o.classList.remove("before", "after"));
}

function drop(keep) {
  const { item, to } = held;
  held = null;
  mark();
  item.classList.remove("held");
  if (!keep || to === null) return;
  const form = item.querySelector(".moves");
  form.elements.namedItem("at").value = String(to);
  const whither = document.createElement("input");
  whither.type = "hidden";
  whither.name = "do";
  whither.value = "to";
  form.append(whither);
  form.requestSubmit();
  whither.remove();
  form.elements.namedItem("at").value = "";
}

document.addEventListener("pointerup", () => held && drop(true));
document.addEventListener("pointercancel", () => held && drop(false));
document.addEventListener("keydown", (event) => event.key === "Escape" && held && drop(false));

// What was focused keeps the focus where the morph has moved it, and the first figure of a layer
// that was added gets it.
let focused = "";
document.addEventListener("htmx:before:request", () => (focused = document.activeElement?.id ?? ""));
document.addEventListener("htmx:after:swap", () => {
  if (begin(document.querySelector(".layer-item[data-added]"))) return;
  const before = focused ? document.getElementById(focused) : null;
  if (document.activeElement === document.body) before?.focus();
  if (before?.getAttribute("aria-disabled") === "true") before.form.querySelector("button:not([aria-disabled])")?.focus();
  if (focused.endsWith("_remove") && !before) document.getElementById("undo-button")?.focus();
});

function begin(item) {
  const first = item?.querySelector(".fields input:not([type=hidden]), .fields select");
  if (!first) return false;
  item.scrollIntoView({ block: "center" });
  first.focus({ preventScroll: true });
  first.select?.();
  return true;
}

if (location.hash.startsWith("#layer_")) begin(document.getElementById(location.hash.slice(1)));

// A new assembly is drawn anew as its name and mould are chosen.
document.addEventListener("change", (event) => {
  const form = event.target.form;
  if (!form?.dataset.redraw || !["name", "mould", "laid"].includes(event.target.name)) return;
  const address = `${form.dataset.redraw}?${new URLSearchParams(new FormData(form))}`;
  htmx.ajax("GET", address, { target: "#page", swap: "outerMorph" });
});
