// Bundles the programs of the page and of the editor beside it: npm ci --ignore-scripts && npm run build

import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const BUNDLES = { live: "live.js", page: "main.js" };
const RULE = `\n${"-".repeat(80)}\n\n`;

function bundle(entry, banner) {
  return build({
    absWorkingDir: here,
    entryPoints: [`src/${entry}`],
    bundle: true,
    minify: true,
    format: "iife",
    target: "es2020",
    legalComments: "none",
    preserveSymlinks: true,
    banner: { js: banner },
    metafile: true,
    write: false,
  });
}

/** Return the names of the packages that a bundle holds. */
function packages({ inputs }) {
  const found = Object.keys(inputs).map((path) => /node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]);
  return [...new Set(found.filter(Boolean))].sort();
}

function licence(name) {
  const folder = join(here, "node_modules", name);
  const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const file = ["LICENSE", "LICENSE.md", "LICENSE.txt"].map((one) => join(folder, one)).find(existsSync);
  if (!file) throw new Error(`${name} has no licence file`);
  return `${name} ${version} (${license})\n\n${readFileSync(file, "utf8").trim().replaceAll("*/", "* /")}\n`;
}

const all = new Map();
for (const [name, entry] of Object.entries(BUNDLES)) {
  const { metafile } = await bundle(entry, "");
  const licences = packages(metafile).map((one) => [one, licence(one)]);
  licences.forEach(([one, text]) => all.set(one, text));
  // The licences go wherever the bundle goes.
  const { outputFiles: [made] } = await bundle(entry, `/*\n${licences.map(([, text]) => text).join(RULE)}*/`);
  writeFileSync(join(here, `${name}.bundle.js`), made.text);
}
writeFileSync(join(here, "LICENSES.txt"), [...all.keys()].sort().map((one) => all.get(one)).join(RULE));
