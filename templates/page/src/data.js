// The data in the page for its program: boat, words, scene.

const page = JSON.parse(document.getElementById("page-data").textContent);

export default page;

/** Return a sentence of the page with its values filled in. */
export function words(key, values = {}) {
  return page.words[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

/** Return the key under which something of this boat is stored. */
export function key(...parts) {
  return ["toerail", page.boat, ...parts].join("|");
}

/** Return the unit in which lengths are shown: mm or in. */
export function unit() {
  return document.documentElement.dataset.units;
}

/** Return the unit in which forces are entered: N or lbf. */
export function forceUnit() {
  return unit() === "in" ? "lbf" : "N";
}

/** Show a message in the status line under the headings. */
export function say(text, id = "status") {
  document.getElementById(id).textContent = text;
}
