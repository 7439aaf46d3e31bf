// Compiles Python's sources before the phone has to: plytally's core, and what core needs of Python's own library.
// The Python that will run them compiles them, so a phone need not, at each start. The same sources give the same
// bytes. What core does not import stays a source in the library, which is smaller.
//   .made/core-sources.zip -> .made/core.zip      pyodide/python_stdlib.zip -> .made/python_stdlib.zip
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { loadPyodide } from "pyodide";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const python = await loadPyodide();
for (const [name, from] of [["core", ".made/core-sources.zip"], ["library", "node_modules/pyodide/python_stdlib.zip"]]) {
  python.FS.writeFile(`/${name}.zip`, readFileSync(here(from)));
}
python.runPython(`
import importlib.util, io, marshal, shutil, sys, zipfile

LIBRARY, SAME_DAY, UNCHECKED = "/lib/python314.zip", (2026, 1, 1, 0, 0, 0), 1
if LIBRARY not in sys.path:
    raise SystemExit(f"this Pyodide keeps Python's library elsewhere: {sys.path}")
shutil.unpack_archive("/core.zip", "/core")
sys.path.insert(0, "/core")
import plytally.core.listening, plytally.core.pocket  # as the phone's worker does
found = [module.__spec__ for module in [*sys.modules.values()] if getattr(module, "__spec__", None)]
used = {each.origin for each in found if each.has_location}  # what is frozen in Python itself has none

def compiled(source, name):
    """The content of a .pyc that is taken without looking for its source (PEP 552)."""
    head = importlib.util.MAGIC_NUMBER + UNCHECKED.to_bytes(4, "little") + bytes(8)
    return head + marshal.dumps(compile(source, name, "exec", dont_inherit=True))

def packed(archive, place, wanted):
    """The archive again, each wanted source in it compiled; place is where Python will find it."""
    out = io.BytesIO()
    with zipfile.ZipFile(archive) as given, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as made:
        for name in sorted(name for name in given.namelist() if not name.endswith("/")):
            content = given.read(name)
            if name.endswith(".py") and wanted(name):
                name, content = name + "c", compiled(content, f"{place}/{name}")
            made.writestr(zipfile.ZipInfo(name, SAME_DAY), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()

core = packed("/core.zip", "/core", lambda name: True)
library = packed("/library.zip", LIBRARY, lambda name: f"{LIBRARY}/{name}" in used)
`);
for (const [name, to] of [["core", ".made/core.zip"], ["library", ".made/python_stdlib.zip"]]) {
  writeFileSync(here(to), python.globals.get(name).toJs());
}
