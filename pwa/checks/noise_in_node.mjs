// The phone's own noise reduction, for the same sounds as Python's (speech/noise.py).
//   node noise_in_node.mjs GIVEN.json     prints the answers
import "./sources.mjs";
import { readFileSync } from "node:fs";

const { lessNoise } = await import("../src/hear/noise.ts");
const { loudOverQuietDb } = await import("../src/hear/condition.ts");
const given = JSON.parse(readFileSync(process.argv[2], "utf8"));

process.stdout.write(
  JSON.stringify({
    cleaned: given.sounds.map(([samples, floor]) => [...lessNoise(Int16Array.from(samples), floor)]),
    loud: given.sounds.map(([samples]) => loudOverQuietDb(Int16Array.from(samples))),
  }),
);
