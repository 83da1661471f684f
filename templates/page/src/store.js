// What is ticked and entered, kept in this viewer; where storage is refused, kept until the page closes.

const kept = new Map();
let refused = false;

function storage() {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}

/** Return what was stored under a key, null where nothing was. */
export function read(key) {
  if (kept.has(key)) return kept.get(key);
  try {
    const text = storage()?.getItem(key) ?? null;
    return text === null ? null : JSON.parse(text);
  } catch {
    return null;
  }
}

/** Store a value under a key; null removes it. Returns whether it outlives the page. */
export function write(key, value) {
  kept.set(key, value);
  try {
    const place = storage();
    if (!place) throw new Error("no storage");
    if (value === null) place.removeItem(key);
    else place.setItem(key, JSON.stringify(value));
  } catch {
    refused = true;
  }
  return !refused;
}
