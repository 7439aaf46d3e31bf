// The phone's own engine and weighing in node, for the sounds of a folder (tests/bench/phone_hearing_bench.py).
//   node hear_in_node.mjs EARS.json FOLDER     prints, for each NAME.pcm, its hearing and the time it took
// FOLDER/NAME.pcm is 16-bit mono at 16 kHz. What else could have been said comes from Python, which knows the
// phrasebook: each heard text is printed as a line, and a line of JSON with its rivals is read back.
import "./sources.mjs";
import { readFileSync, readdirSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

const { Listener } = await import("../src/hear/listener.ts");
const model = fileURLToPath(new URL("../.made/ear/", import.meta.url));
const [ears, folder] = process.argv.slice(2);
const listener = await Listener.open(model, JSON.parse(readFileSync(ears, "utf8")));
const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
const spent = (from) => (process.cpuUsage(from).user + process.cpuUsage(from).system) / 1e6;

for (const name of readdirSync(folder).sort()) {
  const bytes = readFileSync(`${folder}/${name}`);
  const samples = new Int16Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
  const first = process.cpuUsage();
  const heard = listener.hear(samples);
  const hearing = spent(first);
  console.log(JSON.stringify({ text: heard.words.map((word) => word.text).join(" ") }));
  const rivals = JSON.parse((await lines.next()).value);
  const second = process.cpuUsage();
  const weighed = heard.covered ? listener.weigh(heard, rivals) : heard;
  console.log(JSON.stringify({ name, hearing, weighing: spent(second), heard: weighed }));
}
process.exit(0);
