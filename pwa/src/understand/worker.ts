// Python in a worker: plytally's own core, the very code that the shop computer runs.
import coreUrl from "../../.made/core.zip?url";
import type { Answer, Question } from "./messages";

interface Python {
  unpackArchive(bytes: ArrayBuffer, format: string, options: { extractDir: string }): void;
  runPython(code: string): unknown;
  globals: { get(name: string): (...args: unknown[]) => string };
}

const DOOR = `
import gc, json, sys
sys.path.insert(0, "/core")
from plytally.core.listening import listening, sample
from plytally.core.pocket import Pocket
_pocket = Pocket(None)

def answer(name, takes, lookup):
    global _pocket
    given = json.loads(takes)
    if name == "open":
        gc.disable()  # while the log is taken in, going through it again and again finds nothing to free
        try:
            copy, rows = given
            alone, likes = copy.get("by_sound_alone", False), copy.get("likes")
            _pocket = Pocket(copy["print"], copy["words"], copy.get("resin_times"), by_sound_alone=alone, likes=likes)
            refused = _pocket.saw(rows)
            for said in ("what is owed", "laid two plies of bid"):  # what the first of each would wait for
                _pocket.take(said, "2026-01-01T00:00:00Z")
            gc.freeze()  # nor does it later: a question would wait for it
        finally:
            gc.enable()
        return json.dumps(refused)
    if name == "sentences":
        return json.dumps(list(sample(listening(_pocket.vocabulary), 4000)))
    if name == "ears":
        return json.dumps(_pocket.ears(lambda word: lookup(word) or None))
    return json.dumps(getattr(_pocket, name)(*given))
`;

let dictionary: Map<string, string> | undefined;

async function phones(): Promise<Map<string, string>> {
  if (!dictionary) {
    const text = await (await fetch(`${__EAR__}en-us/dict.txt`)).text();
    dictionary = new Map();
    for (const line of text.split("\n")) {
      const at = line.search(/\s/);
      if (at > 0) dictionary.set(line.slice(0, at), line.slice(at).trim());
    }
  }
  return dictionary;
}

async function start(): Promise<(name: string, takes: string, lookup: (word: string) => string) => string> {
  const core = fetch(coreUrl).then((answer) => answer.arrayBuffer());
  const { loadPyodide } = (await import(/* @vite-ignore */ `${__PYTHON__}pyodide.mjs`)) as {
    loadPyodide(options: { indexURL: string }): Promise<Python>;
  };
  const python = await loadPyodide({ indexURL: __PYTHON__ });
  python.unpackArchive(await core, "zip", { extractDir: "/core" });
  python.runPython(DOOR);
  return python.globals.get("answer");
}

const ready = start();

async function answered({ id, name, takes }: Question): Promise<Answer> {
  try {
    const call = await ready;
    const words = name === "ears" ? await phones() : undefined;
    const gives: unknown = JSON.parse(call(name, JSON.stringify(takes), (word) => words?.get(word) ?? ""));
    dictionary = undefined;
    return { id, gives };
  } catch (problem) {
    return { id, wrong: problem instanceof Error ? problem.message : String(problem) };
  }
}

let turn = Promise.resolve();
addEventListener("message", ({ data }: MessageEvent<Question>) => {
  turn = turn.then(async () => postMessage(await answered(data)));
});
