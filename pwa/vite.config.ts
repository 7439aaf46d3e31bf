// Builds the app into the Python package. What is heavy (the speech model, Python itself) is copied beside it
// under a path that carries its version, so that a browser may keep it for ever.
import { createHash } from "node:crypto";
import { cpSync, existsSync, readFileSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { type Plugin, defineConfig } from "vite";
import { VitePWA } from "vite-plugin-pwa";

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const out = here("../server/plytally/web/app");
const versionOf = (name: string): string =>
  JSON.parse(readFileSync(here(`node_modules/${name}/package.json`), "utf8")).version;

/** The library that precompile.mjs made, under a path that changes with it. */
const LIBRARY = ".made/python_stdlib.zip";
const library = existsSync(here(LIBRARY)) ? readFileSync(here(LIBRARY)) : "";
const PYTHON = `engine/pyodide-${versionOf("pyodide")}-${createHash("sha256").update(library).digest("hex").slice(0, 8)}`;
const EAR_FILES = existsSync(here(".made/ear/en-us")) ? readdirSync(here(".made/ear/en-us")).sort() : [];
const earHash = createHash("sha256");
for (const file of EAR_FILES) earHash.update(file).update(readFileSync(here(`.made/ear/en-us/${file}`)));
const EAR = `engine/ear-${earHash.digest("hex").slice(0, 12)}`;
const VOSK = `engine/vosk-${versionOf("@lichess-org/vosk-browser")}`;
const VOSK_FILES = ["vosk.worker.js", "vosk.wasm"];
/** Beside the others, but fetched only by a phone that hears with a model of the shop computer's. */
const ON_ASKING: [string, string][] = VOSK_FILES.map((file) => [
  `node_modules/@lichess-org/vosk-browser/dist/${file}`,
  `${VOSK}/${file}`,
]);
const COPIES: [string, string][] = [
  ...["pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "pyodide-lock.json"].map(
    (file): [string, string] => [`node_modules/pyodide/${file}`, `${PYTHON}/${file}`],
  ),
  [LIBRARY, `${PYTHON}/python_stdlib.zip`],
  ...EAR_FILES.map((file): [string, string] => [`.made/ear/en-us/${file}`, `${EAR}/en-us/${file}`]),
];

function engines(): Plugin {
  return {
    name: "engines",
    apply: "build",
    writeBundle() {
      for (const [from, to] of [...COPIES, ...ON_ASKING]) cpSync(here(from), `${out}/${to}`);
      cpSync(here("icons"), `${out}/icons`, { recursive: true });
    },
  };
}

if (!existsSync(here(".made/core.zip")) || !library || EAR_FILES.length === 0) {
  throw new Error("pwa/.made is not complete: build with `python hatch_build.py` at the root of the project");
}

export default defineConfig({
  define: {
    __PYTHON__: JSON.stringify(`/${PYTHON}/`),
    __EAR__: JSON.stringify(`/${EAR}/`),
    __VOSK__: JSON.stringify(`/${VOSK}/`),
    __ON_ASKING__: JSON.stringify(ON_ASKING.map(([, to]) => `/${to}`)),
    __HEAVY__: JSON.stringify(COPIES.map(([, to]) => `/${to}`)),
  },
  resolve: { alias: { "blob-polyfill": here("src/hear/blob.ts") } },
  worker: { format: "es" },
  build: { outDir: out, emptyOutDir: true, target: "es2022", assetsInlineLimit: 0, modulePreload: { polyfill: false },
    rollupOptions: { input: { index: here("index.html"), desk: here("desk.html") } } },
  plugins: [
    engines(),
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src",
      filename: "sw.ts",
      injectRegister: null,
      registerType: "prompt",
      injectManifest: { globPatterns: ["**/*.{js,css,html,svg,png,zip,webmanifest,wasm}"], globIgnores: ["engine/**", "desk.html", "assets/desk-*"] },
      manifest: {
        id: "/",
        name: "plytally",
        short_name: "plytally",
        description: "A spoken layup log, held against the print.",
        start_url: "/",
        display: "standalone",
        background_color: "#e9e4d8",
        theme_color: "#2f5d50",
        icons: [
          { src: "/icons/sheet-192.png", sizes: "192x192", type: "image/png" },
          { src: "/icons/sheet-512.png", sizes: "512x512", type: "image/png" },
          { src: "/icons/sheet-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
        ],
      },
    }),
  ],
});
