// Runs tests/support/vector_runner.py under Pyodide in node: the core that the build packed, the same questions.
//   node core_in_pyodide.mjs RUNNER.py GIVEN.json     prints what the core makes of it
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { loadPyodide } from "pyodide";

const [runner, given] = process.argv.slice(2);
const made = (name) => fileURLToPath(new URL(`../.made/${name}`, import.meta.url));
const python = await loadPyodide({ stdLibURL: made("python_stdlib.zip") });
const core = new Uint8Array(readFileSync(made("core.zip"))).buffer;
python.unpackArchive(core, "zip", { extractDir: "/core" });
python.runPython('import sys; sys.path.insert(0, "/core")');
try {
  python.runPython(readFileSync(runner, "utf8"));
  process.stdout.write(python.globals.get("run")(readFileSync(given, "utf8")));
} catch (problem) {
  console.error(problem.message);
  process.exitCode = 1;
}
