// The log: who measured, when, with what; the as-built record that toerail reads, written and read again.

import { CORE_SCHEMA, dump, load } from "js-yaml";
import page, { key, say, words } from "./data.js";
import { cards, entry, force, keep, length, refill, verdict } from "./made.js";
import { read, write } from "./store.js";

const FIELDS = ["by", "date", "tool"];
// What is recorded of a run beside its settings and tension.
const LENGTHS = ["finished", "first_eye"];
// Tensions of a line set again.
const PULLS = ["found", "left"];
const TEXTS = ["lot", "certificate", "note"];
const LOG = () => key("log", page.data);
const AGAIN = () => key("again", page.data);
const MAX_BYTES = 262144;

const head = () => read(LOG()) ?? {};
const again = () => read(AGAIN()) ?? [];

function item(list, text, remove) {
  const line = document.createElement("li");
  const label = document.createElement("span");
  label.textContent = text;
  line.append(label);
  if (remove) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words("remove");
    button.addEventListener("click", remove);
    line.append(button);
  }
  list.append(line);
  return line;
}

export function list() {
  const made = document.getElementById("log-entries");
  made.replaceChildren();
  for (const card of cards()) {
    const found = entry(card);
    if (!Object.keys(found).length) continue;
    const settings = Object.entries(found.settings ?? {}).map(([name, size]) => `${name} ${size}`);
    const parts = [found.finished, found.first_eye, ...settings, found.tension, found.lot, found.certificate, found.note];
    const judged = verdict(card, found);
    const text = `${card.dataset.made}: ${parts.filter(Boolean).join(", ")}${judged ? ` (${judged.text})` : ""}`;
    item(made, text).classList.toggle("bad", judged?.within === false);
  }
  document.getElementById("log-none").hidden = made.children.length > 0;
  const later = document.getElementById("log-again");
  later.replaceChildren();
  again().forEach((one, index) => {
    const pull = [one.found && `${one.found}`, one.left && `${one.left}`].filter(Boolean).join(" / ");
    item(later, `${one.date} ${one.run}: ${pull} (${one.by})`, () => {
      write(AGAIN(), again().filter((_, at) => at !== index));
      list();
    });
  });
}

/** Return the as-built record, as the program reads it. */
function record() {
  const runs = {};
  for (const card of cards()) {
    const found = entry(card);
    const run = {};
    for (const name of LENGTHS) if (found[name]) run[name] = found[name];
    if (Object.keys(found.settings ?? {}).length) run.settings = found.settings;
    if (found.tension) run.tension = found.tension;
    for (const name of TEXTS) if (found[name]) run[name] = found[name];
    if (Object.keys(run).length) runs[card.dataset.made] = run;
  }
  const made = head();
  return {
    format: 1,
    as_built: { boat: page.boat, data_sha256: page.data, revision: page.revision, date: made.date, by: made.by, tool: made.tool },
    runs,
    retension: again(),
  };
}

function exportRecord() {
  const missing = FIELDS.filter((name) => !head()[name]);
  if (missing.length) {
    say(words("needs", { what: missing.map((name) => words(name)).join(", ") }), "log-said");
    return;
  }
  const made = record();
  const text = dump(made, { schema: CORE_SCHEMA, lineWidth: -1, forceQuotes: true, quotingType: '"' });
  document.getElementById("record").value = text;
  document.getElementById("record-label").hidden = false;
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "text/yaml" }));
  link.download = `${page.boat.toLowerCase().replace(/[^a-z0-9]+/g, "-")}-as-built.yaml`;
  link.click();
  URL.revokeObjectURL(link.href);
  say(words("exported", { count: Object.keys(made.runs).length }), "log-said");
}

function lengthText(value, bare) {
  if (value === undefined || value === null) return undefined;
  const text = typeof value === "number" ? `${value} ${bare}` : String(value);
  return length(text, bare) ? text : undefined;
}

function forceText(value) {
  const found = force(String(value ?? ""), "N");
  return found ? `${found.text} ${found.unit}` : undefined;
}

/** Take a record into this viewer; return the message to show. */
function importRecord(text) {
  let made;
  try {
    made = load(text, { schema: CORE_SCHEMA });
  } catch (error) {
    return words("not_a_record", { why: String(error.reason ?? error.message).slice(0, 80) });
  }
  const about = made?.as_built;
  if (!about || typeof made.runs !== "object" || made.runs === null) return words("not_a_record", { why: "as_built, runs" });
  const retension = made.retension ?? [];
  if (!Array.isArray(retension) || retension.some((one) => typeof one !== "object" || one === null)) return words("not_a_record", { why: "retension" });
  if (about.boat !== page.boat) return words("other_boat", { boat: String(about.boat).slice(0, 80) });
  if (about.data_sha256 !== page.data) return words("other_data", { data: String(about.data_sha256).slice(0, 12) });
  const known = new Map(cards().map((card) => [card.dataset.made, card]));
  const unknown = Object.keys(made.runs).find((run) => !known.has(run));
  if (unknown) return words("unknown_run", { run: unknown.slice(0, 40) });
  const bare = made.units?.length === "in" ? "in" : "mm";
  for (const [run, found] of Object.entries(made.runs)) {
    const settings = {};
    for (const [name, size] of Object.entries(found?.settings ?? {})) {
      if (lengthText(size, bare)) settings[name] = lengthText(size, bare);
    }
    const lengths = Object.fromEntries(LENGTHS.map((name) => [name, lengthText(found?.[name], bare)]));
    const texts = Object.fromEntries(TEXTS.map((name) => [name, found?.[name] ?? undefined]));
    keep(known.get(run), { ...lengths, settings, tension: forceText(found?.tension), ...texts });
  }
  write(LOG(), Object.fromEntries(FIELDS.map((name) => [name, String(about[name] ?? "")])));
  write(AGAIN(), retension);
  return words("imported", { count: Object.keys(made.runs).length });
}

/** Show who measured, when and with what. */
export function fill() {
  for (const field of document.querySelectorAll("[data-log]")) field.value = head()[field.dataset.log] ?? "";
}

export function log() {
  fill();
  list();
  const section = document.getElementById("log");
  section.addEventListener("change", (event) => {
    const name = event.target.dataset.log;
    if (name && !write(LOG(), { ...head(), [name]: event.target.value.trim() })) say(words("not_kept"), "log-said");
  });
  section.addEventListener("submit", (event) => {
    event.preventDefault();
    const found = {};
    for (const field of event.target.querySelectorAll("[data-again]")) {
      const text = field.value.trim();
      if (!text) continue;
      const pull = PULLS.includes(field.dataset.again) ? force(text) : null;
      found[field.dataset.again] = pull ? `${pull.text} ${pull.unit}` : text;
    }
    const missing = ["date", "by"].filter((name) => !found[name]);
    const wrong = PULLS.some((name) => found[name] && !force(found[name]));
    if (missing.length) say(words("needs", { what: missing.map((name) => words(name)).join(", ") }), "log-said");
    else if (wrong) say(words("not_a_number"), "log-said");
    else {
      write(AGAIN(), [...again(), found]);
      say("", "log-said");
      list();
    }
  });
  section.addEventListener("click", (event) => event.target.id === "export" && exportRecord());
  section.addEventListener("change", async (event) => {
    const [file] = event.target.files ?? [];
    if (!file) return;
    const text = file.size > MAX_BYTES ? "" : await file.text();
    say(importRecord(text), "log-said");
    event.target.value = "";
    fill();
    refill();
    list();
  });
}
