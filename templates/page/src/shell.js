// Sections as tabs, units, light and dark, ticks.

import page, { key, say, words } from "./data.js";
import { read, write } from "./store.js";

const root = document.documentElement;
const SCHEMES = ["auto", "light", "dark"];

/** Show the section that an address within the page is in, and scroll to its place. */
function show(hash, whenShown) {
  const sheet = hash.startsWith("#sheet-") ? hash.slice(7) : null;
  const target = sheet ? document.getElementById("sheets") : hash.length > 1 && document.getElementById(decodeURIComponent(hash.slice(1)));
  const section = (target || document.getElementById("items")).closest("section") ?? document.getElementById("items");
  for (const one of document.querySelectorAll("main > section")) one.classList.toggle("open", one === section);
  current();
  if (target && target !== section) target.scrollIntoView();
  else window.scrollTo(0, 0);
  whenShown(section.id, sheet);
}

/** Mark the tab of the open section. */
export function current() {
  const { id } = document.querySelector("main > section.open");
  for (const link of document.querySelectorAll("nav a")) {
    if (link.getAttribute("href") === `#${id}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
}

export function tabs(whenShown) {
  root.classList.add("tabs");
  addEventListener("hashchange", () => show(location.hash, whenShown));
  // A second tap on the same address shows its place again.
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.('a[href^="#"]');
    if (link && link.getAttribute("href") === location.hash) {
      event.preventDefault();
      show(location.hash, whenShown);
    }
  });
  show(location.hash, whenShown);
}

export function units(changed) {
  const stored = read(key("units"));
  if (stored === "mm" || stored === "in") root.dataset.units = stored;
  document.getElementById("units").addEventListener("click", () => {
    root.dataset.units = root.dataset.units === "mm" ? "in" : "mm";
    write(key("units"), root.dataset.units);
    changed();
  });
}

export function scheme(changed) {
  const button = document.getElementById("scheme");
  const set = (name) => {
    if (name === "auto") delete root.dataset.scheme;
    else root.dataset.scheme = name;
    button.querySelector(".now").textContent = words(name);
    button.dataset.now = name;
  };
  set(SCHEMES.includes(read("toerail|scheme")) ? read("toerail|scheme") : "auto");
  button.addEventListener("click", () => {
    set(SCHEMES[(SCHEMES.indexOf(button.dataset.now) + 1) % SCHEMES.length]);
    write("toerail|scheme", button.dataset.now);
    changed();
  });
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", changed);
}

const done = (box) => box.closest(".item")?.classList.toggle("done", box.checked);

/** Tick every box as it was stored. */
export function ticked() {
  for (const box of document.querySelectorAll("input[data-tick]")) {
    box.checked = read(key(box.dataset.tick)) === true;
    done(box);
  }
}

export function ticks() {
  ticked();
  document.addEventListener("change", ({ target }) => {
    if (!target.dataset.tick) return;
    if (!write(key(target.dataset.tick), target.checked || null)) say(words("not_kept"));
    done(target);
  });
}

/** Open every folded part for printing, and fold it again afterwards. */
export function printing() {
  let folded = [];
  addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll("details:not([open])")];
    for (const one of folded) one.open = true;
  });
  addEventListener("afterprint", () => {
    for (const one of folded) one.open = false;
  });
}

export function titled() {
  document.title = `${page.boat} ${page.revision}`;
}
