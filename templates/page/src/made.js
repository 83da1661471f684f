// Lengths as made: entered on the card of a run, checked against the adjusting range, listed in the log.

import { forceUnit, key, say, unit, words } from "./data.js";
import { read, write } from "./store.js";

const LENGTH = /^\s*(\d+(?:[.]\d+)?|\d+\s+\d+\/\d+|\d+\/\d+)\s*(mm|in)?\s*$/;
const FORCE = /^\s*(\d+(?:[.]\d+)?)\s*(N|lbf)?\s*$/;

/** Return a length as { text, unit, value }, null where the text is none; a bare number is in the unit shown. */
export function length(text, bare = unit()) {
  const found = LENGTH.exec(text.replace(",", "."));
  if (!found) return null;
  const value = found[1].trim().split(/\s+/).reduce((sum, part) => {
    const [over, under = 1] = part.split("/").map(Number);
    return sum + over / under;
  }, 0);
  return value > 0 && Number.isFinite(value) ? { text: found[1].trim(), unit: found[2] ?? bare, value } : null;
}

/** Return a force as { text, unit }, null where the text is none; a bare number is in the unit shown. */
export function force(text, bare = forceUnit()) {
  const found = FORCE.exec(text.replace(",", "."));
  return found && { text: found[1], unit: found[2] ?? bare };
}

export function cards() {
  return [...document.querySelectorAll("[data-made]")];
}

function place(card) {
  const run = card.closest("[data-run]");
  return key("made", run.dataset.run, run.dataset.hash);
}

// Fields that hold a length.
const LENGTHS = ["finished", "first_eye", "setting"];

/** Return what was entered for a run: lengths, settings and tension as texts with units, lot, certificate, note. */
export function entry(card) {
  return read(place(card)) ?? {};
}

/** Store what was entered for a run. */
export function keep(card, made) {
  const empty = Object.values(made).every((one) => !one || (typeof one === "object" && !Object.keys(one).length));
  if (!write(place(card), empty ? null : made)) say(words("not_kept"));
}

function figure(value, of) {
  return `${value.toFixed(of === "mm" ? 1 : 2)} ${of}`;
}

/** Return the verdict on a finished length: its text, and whether the length is within the adjusting range. */
export function verdict(card, made) {
  if (!made.finished) return null;
  const found = length(made.finished);
  if (!found) return { text: words("not_a_length"), within: false };
  const of = found.unit;
  const range = (name) => (card.dataset[name + (of === "mm" ? "Mm" : "In")] === undefined ? null : Number(card.dataset[name + (of === "mm" ? "Mm" : "In")]));
  const off = found.value - range("finished");
  const room = range(off > 0 ? "shorten" : "lengthen");
  const by = figure(Math.abs(off), of);
  if (room === null) return { text: words("off_only", { by }), within: null };
  const left = room - Math.abs(off);
  if (left < -1e-9) return { text: words(off > 0 ? "too_long" : "too_short", { by: figure(-left, of) }), within: false };
  if (Math.abs(off) < (of === "mm" ? 0.05 : 0.005)) return { text: words("as_designed", { left: figure(left, of) }), within: true };
  return { text: words(off > 0 ? "longer" : "shorter", { by, left: figure(left, of) }), within: true };
}

function fill(card) {
  const made = entry(card);
  for (const field of card.querySelectorAll("input")) {
    const stored = field.dataset.field === "setting" ? made.settings?.[field.dataset.name] : made[field.dataset.field];
    const found = stored && (LENGTHS.includes(field.dataset.field) ? length(stored) : field.dataset.field === "tension" && force(stored));
    field.value = found && [unit(), forceUnit()].includes(found.unit) ? found.text : (stored ?? "");
  }
  judge(card);
}

function judge(card) {
  const line = card.querySelector(".verdict");
  const found = verdict(card, entry(card));
  line.textContent = found?.text ?? "";
  line.classList.toggle("outside", found?.within === false);
}

function take(card) {
  const made = { settings: {} };
  let wrong = "";
  for (const field of card.querySelectorAll("input")) {
    const text = field.value.trim();
    const name = field.dataset.field;
    field.removeAttribute("aria-invalid");
    if (!text) continue;
    let stored = text;
    if (LENGTHS.includes(name)) {
      const found = length(text);
      if (found) stored = `${found.text} ${found.unit}`;
      else wrong = words("not_a_length");
      if (!found) field.setAttribute("aria-invalid", "true");
    } else if (name === "tension") {
      const found = force(text);
      if (found) stored = `${found.text} ${found.unit}`;
      else wrong = words("not_a_number");
      if (!found) field.setAttribute("aria-invalid", "true");
    }
    if (name === "setting") made.settings[field.dataset.name] = stored;
    else made[name] = stored;
  }
  return { made, wrong };
}

export function entries(changed) {
  refill();
  document.addEventListener("change", ({ target }) => {
    const card = target.closest("[data-made]");
    if (!card) return;
    const { made, wrong } = take(card);
    if (wrong) {
      const line = card.querySelector(".verdict");
      line.textContent = wrong;
      line.classList.add("outside");
      return;
    }
    keep(card, made);
    judge(card);
    changed();
  });
}

/** Show every entry again, in the unit shown now. */
export function refill() {
  cards().forEach(fill);
}
