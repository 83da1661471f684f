// Bundles the program of the page: npm ci --ignore-scripts && npm run build

import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const BUNDLES = { page: "main.js" };
// Whose licences stand in LICENSES.txt: each package that is bundled.
const PACKAGES = ["three", "js-yaml"];

const texts = PACKAGES.map((name) => {
  const folder = join(here, "node_modules", name);
  const { version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  return `${name} ${version} (${license})\n\n${readFileSync(join(folder, "LICENSE"), "utf8").trim()}\n`;
});
const licences = texts.join(`\n${"-".repeat(80)}\n\n`);
writeFileSync(join(here, "LICENSES.txt"), licences);

for (const [name, entry] of Object.entries(BUNDLES)) {
  const { outputFiles: [made] } = await build({
    absWorkingDir: here,
    entryPoints: [`src/${entry}`],
    bundle: true,
    minify: true,
    format: "iife",
    target: "es2020",
    legalComments: "none",
    // The licences go wherever the bundle goes.
    banner: { js: `/*\n${licences}*/` },
    write: false,
  });
  writeFileSync(join(here, `${name}.bundle.js`), made.text);
}

