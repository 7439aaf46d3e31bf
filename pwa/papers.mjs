// What the built app carries of others: their licences in full, to read, and a bill of materials in the open
// CycloneDX form, for programs that look for known faults. Both from what is installed; the same gives the same.
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const read = (path) => readFileSync(here(path), "utf8");
const APP = "../server/plytally/web/app";
const BILL = ".made/plytally.cdx.json";
const TEXT = /^(licen[cs]e|copying|notice)([.-].*)?$/i;
const NO_TEXT = {
  MIT: "Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the \"Software\"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions:\n\nThe above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.\n\nTHE SOFTWARE IS PROVIDED \"AS IS\", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.",
  "Apache-2.0": "The text of this licence stands at the end of this page.",
  "MPL-2.0": "This Source Code Form is subject to the terms of the Mozilla Public License, v. 2.0: https://mozilla.org/MPL/2.0/. Its source is at the address above; plytally ships it unchanged, but for files of Python's library in it, which are compiled.",
};

const EAR = JSON.parse(read(".made/ear/pocketsphinx.json"));

/** Told in the package's own Readme alone. */
const UNTOLD = { "combine-errors": "MIT" };

/** What comes inside a package, under a licence of its own; or beside the app, in plytally's Python package. */
const WITHIN = [
  {
    version: EAR.version,
    type: "machine-learning-model",
    name: "English acoustic model and dictionary of pocketsphinx",
    license: "BSD-2-Clause",
    text: () => `${read(".made/ear/en-us/LICENSE.txt").trim()}\n\n${EAR.licence}`,
  },
  {
    of: "pyodide",
    type: "framework",
    name: "Python, its standard library included, as built by Pyodide",
    license: "PSF-2.0",
    text: () => "Copyright (c) 2001 Python Software Foundation; All Rights Reserved. https://docs.python.org/3/license.html",
  },
  {
    version: "2.37",
    type: "file",
    name: "DejaVu Sans Condensed, the letters of the printed record",
    license: "Bitstream-Vera",
    text: () => read("../server/plytally/record/fonts/LICENSE"),
  },
];

/** The bill of all installed packages, by the package manager itself, without what changes from run to run. */
function wholeBill() {
  const npm = process.env.npm_execpath;
  if (!npm) throw new Error("run this by `npm run build`");
  const said = execFileSync(process.execPath, [npm, "sbom", "--sbom-format", "cyclonedx", "--package-lock-only"], {
    cwd: here("."),
    encoding: "utf8",
    maxBuffer: 1e8,
  });
  const { serialNumber: _, ...bill } = JSON.parse(said);
  delete bill.metadata.timestamp;
  delete bill.metadata.tools;
  bill.metadata.component.name = "plytally-app";
  return bill;
}

/** Only what the app's own dependencies lead to: `--omit dev` drops what a build tool needs as well. */
function shippedOf(bill) {
  const leads = new Map(bill.dependencies.map((each) => [each.ref, each.dependsOn ?? []]));
  const own = Object.keys(JSON.parse(read("package.json")).dependencies);
  const refs = new Map(bill.components.map((each) => [each["bom-ref"], each]));
  const first = leads.get(bill.metadata.component["bom-ref"]).filter((ref) => own.includes(refs.get(ref).name));
  const open = [...first];
  const found = new Set(open);
  for (let ref = open.pop(); ref; ref = open.pop()) {
    for (const next of leads.get(ref) ?? []) if (refs.has(next) && !found.has(next)) found.add(next) && open.push(next);
  }
  const components = bill.components.filter((each) => found.has(each["bom-ref"]));
  const dependencies = [
    { ref: bill.metadata.component["bom-ref"], dependsOn: first },
    ...bill.dependencies.filter((each) => found.has(each.ref)),
  ];
  return { ...bill, components, dependencies };
}

function withWithin(bill) {
  const inside = WITHIN.map(({ of, type, name, license, version: own }) => {
    const version = own ?? bill.components.find((each) => each.name === of).version;
    return { "bom-ref": `${of ?? "plytally"}@${version}#${type}`, type, name, version, licenses: [{ license: { id: license } }] };
  });
  const told = bill.components.map((each) =>
    each.licenses || !UNTOLD[each.name] ? each : { ...each, licenses: [{ license: { id: UNTOLD[each.name] } }] },
  );
  return { ...bill, components: [...told, ...inside] };
}

function folderOf(name) {
  const plain = `node_modules/${name}`;
  if (existsSync(here(plain))) return plain;
  throw new Error(`${plain} is missing: run \`npm ci\` first`);
}

function licenceOf({ name, version }) {
  const folder = folderOf(name);
  const told = JSON.parse(read(`${folder}/package.json`));
  const files = readdirSync(here(folder)).filter((file) => TEXT.test(file)).sort();
  const license = typeof told.license === "string" ? told.license : (told.license?.type ?? UNTOLD[name]);
  if (!license) throw new Error(`${name} states no licence: look whether it may be shipped, then add it to UNTOLD`);
  const author = typeof told.author === "string" ? told.author : (told.author?.name ?? "its authors");
  const source = told.repository?.url ?? told.repository ?? told.homepage ?? "";
  const texts = files.length
    ? files.map((file) => read(`${folder}/${file}`).trim())
    : [`(its package carries no text of the licence; copyright ${author})\n${NO_TEXT[license] ?? ""}`.trim()];
  return page(`${name} ${version}`, license, source, texts);
}

const page = (title, license, source, texts) =>
  [`${"=".repeat(100)}\n${title}: ${license}${source ? `\n${source}` : ""}`, ...texts].join("\n\n");

const bill = withWithin(shippedOf(wholeBill()));
const parts = [
  "What the app of plytally is made of besides its own code, each part with its licence.\nplytally itself: Apache-2.0, at the end.",
  ...bill.components.filter((each) => each.type === "library").map(licenceOf),
  ...WITHIN.map(({ name, license, text }) => page(name, license, "", [text().trim()])),
  page("plytally", "Apache-2.0", "", [read("../LICENSE").trim()]),
];
writeFileSync(here(BILL), `${JSON.stringify(bill, null, 1)}\n`);
writeFileSync(here(`${APP}/licences.txt`), `${parts.join("\n\n")}\n`);
