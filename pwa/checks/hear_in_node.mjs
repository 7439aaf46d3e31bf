// The phone's own engine in node, for the sounds of a folder (tests/bench/phone_hearing_bench.py).
//   node hear_in_node.mjs EARS.json FOLDER [VOICE.means]     prints, for each NAME.pcm, what its searches found
// FOLDER/NAME.pcm is 16-bit mono at 16 kHz. What to search for comes from Python, which judges: for each sound a
// line with what the engine makes of it, then a line of JSON is read, then a line with what was found.
import "./sources.mjs";
import { readFileSync, readdirSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const { Listener } = await import("../src/hear/listener.ts");
const model = fileURLToPath(new URL("../.made/ear/", import.meta.url));
const [ears, folder, mean] = process.argv.slice(2);
const listener = await Listener.open(model, JSON.parse(readFileSync(ears, "utf8")), mean ? { mean } : {});
const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
const spent = (from) => (process.cpuUsage(from).user + process.cpuUsage(from).system) / 1e6;

for (const name of readdirSync(folder).sort()) {
  const bytes = readFileSync(`${folder}/${name}`);
  const samples = new Int16Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
  const first = process.cpuUsage();
  const sounded = listener.hear(samples);
  const hearing = spent(first);
  console.log(JSON.stringify({ name, sounded, hearing }));
  const against = JSON.parse((await lines.next()).value);
  const second = process.cpuUsage();
  const weighed = against.hearing ? null : listener.weigh(against, () => 0); // it has all the time
  console.log(JSON.stringify({ weighed, weighing: spent(second) }));
}
process.exit(0);
