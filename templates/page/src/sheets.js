// The sheets: unpacked when the first is opened, shown as drawings that zoom.

import page, { say, words } from "./data.js";

const STEP = 1.4;
const LARGEST = 12000;
let drawings = null;
let shown = null;
// Beside the editor a sheet is drawn when it is opened.
const drawnWhenOpened = window !== window.parent;
let before = null;

async function unpack() {
  if (drawings) return drawings;
  if (drawnWhenOpened) return (drawings = {});
  if (typeof DecompressionStream === "undefined") throw new Error("no unpacking");
  const text = atob(document.getElementById("page-sheets").textContent.trim());
  const bytes = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  drawings = JSON.parse(await new Response(stream).text());
  return drawings;
}

const reader = () => document.getElementById("reader");
const paper = () => document.getElementById("paper");
const names = () => [...document.querySelectorAll("[data-sheet]")].map((link) => link.dataset.sheet);

function surface() {
  const host = paper();
  if (!host.shadowRoot) {
    const root = host.attachShadow({ mode: "open" });
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`svg { display: block; background: #fff; margin: 0 auto; } ${page.lettered}`);
    root.adoptedStyleSheets = [sheet];
  }
  return host.shadowRoot;
}

function size(width) {
  const svg = surface().querySelector("svg");
  const host = paper();
  const across = (host.scrollLeft + host.clientWidth / 2) / (svg.getBoundingClientRect().width || 1);
  const down = (host.scrollTop + host.clientHeight / 2) / (svg.getBoundingClientRect().height || 1);
  const { width: w, height: h } = svg.viewBox.baseVal;
  const wide = Math.min(Math.max(width, 200), LARGEST);
  svg.style.width = `${wide}px`;
  svg.style.height = `${(wide * h) / w}px`;
  host.scrollLeft = across * wide - host.clientWidth / 2;
  host.scrollTop = (down * wide * h) / w - host.clientHeight / 2;
}

function fit() {
  const { width, height } = surface().querySelector("svg").viewBox.baseVal;
  size(Math.min(paper().clientWidth, (paper().clientHeight * width) / height));
}

const zoom = (by) => size(surface().querySelector("svg").getBoundingClientRect().width * by);

export async function open(name) {
  let found;
  try {
    found = (await unpack())[name];
  } catch {
    say(words("no_unpacking"));
    return;
  }
  if (!found && drawnWhenOpened) document.dispatchEvent(new CustomEvent("sheet", { detail: name }));
  if (!found) return;
  const first = reader().hidden;
  if (first) before = document.activeElement;
  const svg = document.importNode(new DOMParser().parseFromString(found, "image/svg+xml").documentElement, true);
  const old = shown === name && !first ? surface().querySelector("svg") : null;
  shown = name;
  reader().hidden = false;
  const link = document.querySelector(`[data-sheet="${CSS.escape(name)}"]`);
  if (link) document.getElementById("reader-title").textContent = link.textContent;
  // The same sheet drawn again keeps its zoom and its position.
  if (old) Object.assign(svg.style, { width: old.style.width, height: old.style.height });
  surface().replaceChildren(svg);
  if (!old) fit();
  if (first) paper().focus();
}

/** Take a sheet that was requested, and show it if its address is still the page's. */
export function put(name, svg) {
  drawings = { ...drawings, [name]: svg };
  if (location.hash === `#sheet-${name}`) open(name);
}

/** Drop all drawings and request the open sheet again: it may have changed. */
export function forget() {
  drawings = null;
  if (reader()?.hidden === false) open(shown);
}

export function close() {
  if (reader()?.hidden !== false) return;
  reader().hidden = true;
  before?.focus?.();
}

function beside(step) {
  const all = names();
  location.hash = `#sheet-${all[(all.indexOf(shown) + step + all.length) % all.length]}`;
}

export function sheets() {
  const acts = {
    previous: () => beside(-1),
    next: () => beside(1),
    in: () => zoom(STEP),
    out: () => zoom(1 / STEP),
    fit,
    close: () => (location.hash = "#sheets"),
  };
  reader().addEventListener("click", (event) => acts[event.target.closest("[data-reader]")?.dataset.reader]?.());
  reader().addEventListener("keydown", (event) => {
    const keys = { Escape: "close", "+": "in", "=": "in", "-": "out", 0: "fit", PageUp: "previous", PageDown: "next" };
    if (keys[event.key]) {
      event.preventDefault();
      acts[keys[event.key]]();
    }
    if (event.key !== "Tab") return;
    const stops = [...reader().querySelectorAll("button"), paper()];
    const at = stops.indexOf(document.activeElement);
    event.preventDefault();
    stops[(at + (event.shiftKey ? -1 : 1) + stops.length) % stops.length].focus();
  });
  let apart = 0;
  const spread = ({ touches: [a, b] }) => Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
  paper().addEventListener("touchstart", (event) => {
    if (event.touches.length === 2) apart = spread(event);
  }, { passive: true });
  paper().addEventListener("touchmove", (event) => {
    if (event.touches.length !== 2) return;
    event.preventDefault();
    const now = spread(event);
    zoom(now / apart);
    apart = now;
  }, { passive: false });
  addEventListener("resize", () => !reader().hidden && fit());
}
