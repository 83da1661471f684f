// A page computed again, in place of the one shown: the parts that differ are replaced, all others stay as they are.

const PARTS = ["header", "nav", ...["items", "boat", "lines", "posts", "tension", "order", "sheets", "log"].map((id) => `#${id}`)];
// The page as it was written, before anything was ticked, opened or drawn in it.
let written = null;

const parsed = (html) => new DOMParser().parseFromString(html, "text/html").body;

/** Keep the page as it was written; to be called before anything is changed in it. */
export function remember() {
  written = parsed([...document.body.children].filter((one) => one.tagName !== "SCRIPT").map((one) => one.outerHTML).join(""));
}

/** Open in a new part what was open in the one before. */
function reopen(part, before) {
  const open = new Set([...before.querySelectorAll("details[open]")].map((one) => one.firstElementChild.textContent));
  for (const one of part.querySelectorAll("details")) one.open = open.has(one.firstElementChild.textContent);
}

function replaceParts(shown, before, after) {
  const [own, old, fresh] = [shown, before, after].map((one) => [...one.children]);
  const taken = new Set();
  const list = fresh.map((part) => {
    const same = old.findIndex((one, index) => !taken.has(index) && one.isEqualNode(part));
    if (same >= 0) {
      taken.add(same);
      return own[same];
    }
    const put = document.importNode(part, true);
    const like = old.findIndex((one) => one.id === part.id && one.className === part.className && one.tagName === part.tagName);
    if (like >= 0) reopen(put, own[like]);
    return put;
  });
  own.filter((part) => !list.includes(part)).forEach((part) => part.remove());
  // What stays is not moved: it would lose its place and its focus.
  let at = shown.firstElementChild;
  for (const part of list) {
    if (part === at) at = at.nextElementSibling;
    else shown.insertBefore(part, at);
  }
}

/** Put the sections of another state of the boat in the place of those shown. */
export function renew(html) {
  const after = parsed(html);
  for (const part of PARTS) replaceParts(...[document, written, after].map((one) => one.querySelector(part)));
  written = after;
}
