// The editor of the boat file with the page beside it: saved here or by another program, the page follows.

import { defaultKeymap, history, historyKeymap, indentWithTab } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { bracketMatching, HighlightStyle, indentUnit, syntaxHighlighting } from "@codemirror/language";
import { lintGutter, setDiagnostics } from "@codemirror/lint";
import { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
import { EditorState } from "@codemirror/state";
import { drawSelection, EditorView, highlightActiveLine, keymap, lineNumbers } from "@codemirror/view";
import { tags } from "@lezer/highlight";

const live = JSON.parse(document.getElementById("live-data").textContent);
const query = `token=${encodeURIComponent(live.token)}`;
const element = (id) => document.getElementById(id);
const words = (key, values = {}) => live.words[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);

let file = null;
let shown = { good: 0, sheets: false };

const colours = HighlightStyle.define([
  { tag: tags.comment, color: "var(--second)" },
  { tag: [tags.propertyName, tags.definition(tags.propertyName)], color: "var(--rope)" },
]);

const view = new EditorView({
  parent: element("editor"),
  state: EditorState.create({
    doc: "",
    extensions: [
      EditorView.cspNonce.of(live.nonce), EditorState.phrases.of(live.phrases), lineNumbers(), lintGutter(), history(), drawSelection(), highlightActiveLine(),
      bracketMatching(), search(), highlightSelectionMatches(), indentUnit.of("  "), yaml(), syntaxHighlighting(colours),
      keymap.of([{ key: "Mod-s", run: () => (save(), true), preventDefault: true }, ...searchKeymap, ...historyKeymap, ...defaultKeymap, indentWithTab]),
      EditorView.contentAttributes.of({ "aria-label": words("boat_file") }),
      EditorView.updateListener.of((update) => update.docChanged && edited()),
      EditorView.theme({ ".cm-gutters": { backgroundColor: "var(--face)", color: "var(--second)" }, ".cm-activeLine": { backgroundColor: "var(--face)" }, ".cm-content": { caretColor: "var(--ink)" }, ".cm-cursor": { borderLeftColor: "var(--ink)" }, ".cm-panels": { backgroundColor: "var(--face)", color: "var(--ink)" }, ".cm-textfield": { color: "var(--ink)", backgroundColor: "var(--paper)", border: "1px solid var(--ink)" }, ".cm-button": { color: "var(--ink)", backgroundImage: "none", backgroundColor: "var(--paper)" }, ".cm-panel.cm-search": { padding: ".4rem 2.6rem .4rem .6rem", fontSize: "1rem" }, ".cm-panel.cm-search label": { fontSize: "1rem" } }),
    ],
  }),
});
view.scrollDOM.tabIndex = 0;
element("editor").view = view;

const text = () => view.state.doc.toString();
const unsaved = () => file !== null && text() !== file.text.replace(/\r\n?/g, "\n");
const say = (said) => (element("said").textContent = said);

function edited() {
  element("save").disabled = !unsaved();
  if (unsaved() && file && !file.stale) say(words("unsaved"));
}

/** Put in a text, only what differs from the present one; scroll to it where `showing` is set. */
function put(whole, showing = false) {
  const now = text();
  const short = Math.min(now.length, whole.length);
  let from = 0;
  while (from < short && now[from] === whole[from]) from += 1;
  let same = 0;
  while (same < short - from && now[now.length - 1 - same] === whole[whole.length - 1 - same]) same += 1;
  view.dispatch({ changes: { from, to: now.length - same, insert: whole.slice(from, whole.length - same) } });
  if (showing) view.dispatch({ selection: { anchor: from }, effects: EditorView.scrollIntoView(from, { y: "center" }) });
}

/** Return whether the line of the cursor is in view. */
function cursorSeen() {
  const at = view.coordsAtPos(view.state.selection.main.head);
  const edge = view.scrollDOM.getBoundingClientRect();
  return at !== null && at.top >= edge.top && at.bottom <= edge.bottom;
}

function faults(found) {
  const list = element("faults");
  list.replaceChildren();
  const marks = found.map((fault) => {
    const line = view.state.doc.line(Math.min(Math.max(fault.line ?? 1, 1), view.state.doc.lines));
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = fault.line ? `${words("line")} ${fault.line}: ${fault.says}` : fault.says;
    button.addEventListener("click", () => {
      view.dispatch({ selection: { anchor: line.from }, effects: EditorView.scrollIntoView(line.from, { y: "center" }) });
      view.focus();
    });
    item.append(button);
    list.append(item);
    return { from: line.from, to: line.to, severity: "error", message: fault.says };
  });
  view.dispatch(setDiagnostics(view.state, marks));
}

function changes(found) {
  const rows = found.changed.map((one) => {
    const row = document.createElement("tr");
    row.classList.toggle("scrap", one.scrap);
    const after = one.scrap ? `${one.after} (${words("scrap")})` : one.after;
    for (const said of [[one.place, one.label].filter(Boolean).join(", "), one.before, after]) {
      const cell = document.createElement("td");
      // A figure stays with its unit.
      cell.textContent = said.replace(/(\d) (?=(?:mm|in|N|lbf|deg)\b)/g, "$1\u00a0");
      row.append(cell);
    }
    return row;
  });
  element("changes").querySelector("tbody").replaceChildren(...rows);
  element("changes").hidden = rows.length === 0;
  element("changes").open = rows.length > 0;
}

const inside = () => element("page").querySelector("iframe").contentWindow;
const page = () => inside().document.documentElement.page;
const address = () => inside().location.hash;

/** Open the page of the last good state. */
function open() {
  const frame = document.createElement("iframe");
  frame.title = words("page");
  const good = file.good;
  frame.addEventListener("load", () => {
    inside().addEventListener("hashchange", listSheets);
    inside().document.addEventListener("sheet", ({ detail }) => whileDrawing(() => drawSheet(detail)));
    setShown({ good, sheets: false });
    if (file.good !== good) renewPage();
  });
  frame.src = `/page?${query}#items`;
  element("page").append(frame);
}

function setShown(state) {
  shown = state;
  element("page").dataset.good = String(state.good);
}

/** List the sheets where their section is opened. */
function listSheets() {
  if (address().startsWith("#sheet") && !shown.sheets) whileDrawing(renewPage);
}

/** Show the message that something is being drawn, until it is. */
async function whileDrawing(work) {
  const before = element("said").textContent;
  say(words("drawing"));
  const after = await work();
  if (element("said").textContent === words("drawing")) say(after ?? before);
}

/** Show the last good state in place of the one before, with a border round what changed; its sheets are listed where their section is open. */
async function renewPage() {
  if (!shown.good) return;
  const sheets = address().startsWith("#sheet");
  const answer = await fetch(`/body?${query}${sheets ? "&sheets=1" : ""}`);
  if (!answer.ok) return;
  const found = await answer.json();
  // Another one is on its way.
  if (found.good !== file.good) return;
  if (found.good !== shown.good || sheets) page().renew(found);
  const changed = new Set(file.good === file.number ? file.places : []);
  for (const one of inside().document.querySelectorAll(".changed")) one.classList.remove("changed");
  for (const one of inside().document.querySelectorAll("[data-key], [data-said]")) {
    if (changed.has(one.dataset.key ?? one.dataset.said)) {
      one.classList.add("changed");
      one.closest("[data-card]")?.classList.add("changed");
    }
  }
  setShown({ good: found.good, sheets });
  listSheets();
}

/** Draw a sheet that is opened. */
async function drawSheet(name) {
  const answer = await fetch(`/sheet?${query}&name=${encodeURIComponent(name)}`);
  if (!answer.ok) return null;
  const found = await answer.json();
  if (found.good !== file.good) return null;
  if (found.svg === null) return words("no_sheet");
  page().put(name, found.svg);
  return null;
}

/** Take over the file's state: its text where nothing unsaved would be lost, its faults, the page. */
function take(found) {
  const outside = file !== null && found.digest !== file.digest;
  const keep = unsaved() && outside && text() !== found.text;
  const first = file === null;
  const seen = cursorSeen();
  file = { ...found, stale: keep };
  element("reload").hidden = !keep;
  if (keep) say(words("changed_outside"));
  else if (text() !== found.text) put(found.text);
  faults(found.faults);
  if (!keep && found.faults.length) say(words("faulty"));
  else if (!keep && !first) say(found.changed.length ? words("figures_changed", { count: found.changed.length }) : words("no_change"));
  if (found.good === found.number) changes(found);
  element("save").disabled = !unsaved();
  // The lists below make the editor lower: the line being written stays in view.
  if (seen) view.dispatch({ effects: EditorView.scrollIntoView(view.state.selection.main.head) });
  document.body.dataset.number = String(found.number);
  if (first) open();
  else if (found.good !== shown.good) renewPage();
  remedies();
}

/** List the remedies of the last good state; each is put into the text when it is chosen. */
async function remedies() {
  const part = element("remedies");
  const status = element("remedies-said");
  if (!part.open || part.dataset.good === String(file.good)) return;
  part.dataset.good = String(file.good);
  part.querySelector("ul").replaceChildren();
  status.textContent = words("working");
  const answer = await fetch(`/remedies?${query}`);
  if (!answer.ok) return;
  const found = await answer.json();
  if (String(found.good) !== part.dataset.good) return;
  status.textContent = found.remedies.length ? "" : words("no_remedies");
  part.querySelector("ul").replaceChildren(...found.remedies.map((one, number) => {
    const item = document.createElement("li");
    const button = document.createElement("button");
    const under = document.createElement("p");
    button.type = "button";
    button.textContent = `${words("item", { number: one.item })}: ${one.what}`;
    under.textContent = one.cut_anew.length ? words("cut_anew", { runs: one.cut_anew.join(", ") }) : "";
    button.addEventListener("click", async () => {
      if (unsaved()) {
        status.textContent = words("save_first");
        return;
      }
      const made = await fetch(`/remedied?${query}&good=${found.good}&remedy=${number}`);
      const { text: whole } = made.ok ? await made.json() : { text: null };
      if (whole === null) under.textContent = words("by_hand", { changes: ["", ...one.changes].join("\n") });
      else put(whole.replace(/\r\n?/g, "\n"), true);
      status.textContent = "";
    });
    item.append(button, under);
    return item;
  }));
}

async function save() {
  if (!unsaved()) return;
  const body = text();
  let answer;
  try {
    answer = await fetch("/save", {
      method: "POST", body, headers: { "content-type": "text/plain; charset=utf-8", "if-match": `"${file.digest}"`, "x-toerail-token": live.token },
    });
  } catch {
    say(words("failed"));
    return;
  }
  if (answer.status === 409) {
    say(words("stale"));
    element("reload").hidden = false;
  } else if (!answer.ok) say(words(answer.status === 413 ? "too_large" : "failed"));
  else {
    const found = await answer.json();
    if (found.number !== file.number) {
      file = { ...file, text: body, digest: found.digest };
      take(found);
    }
  }
}

async function look() {
  const answer = await fetch(`/file?${query}`);
  if (!answer.ok) return;
  const found = await answer.json();
  if (file === null || found.number > file.number) take(found);
}

element("save").addEventListener("click", save);
element("reload").addEventListener("click", () => {
  put(file.text);
  element("reload").hidden = true;
  file.stale = false;
  look();
});
element("remedies").addEventListener("toggle", remedies);
addEventListener("beforeunload", (event) => unsaved() && event.preventDefault());
new EventSource(`/events?${query}`).addEventListener("message", look);
look();
