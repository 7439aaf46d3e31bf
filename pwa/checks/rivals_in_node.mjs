// The phone's rivals for the same questions as Python's (core/judging.py).
//   node rivals_in_node.mjs GIVEN.json     prints the answers
import { readFileSync } from "node:fs";
import { instead, rivalsNet } from "../src/hear/rivals.ts";

const given = JSON.parse(readFileSync(process.argv[2], "utf8"));

/** Whether the net has the words as a sentence; a step without a word may not follow another. */
function accepts(net, words) {
  const joined = (states) => new Set([...states, ...net.joins.filter(([from]) => states.has(from)).map(([, to]) => to)]);
  let here = joined(new Set([0]));
  const after = words.map((word) => {
    const there = new Set(net.arcs.filter(([from, , said]) => here.has(from) && said === word).map(([, to]) => to));
    here = joined(there);
    return there;
  });
  return net.ends.some(([end]) => (after.at(-1) ?? new Set([0])).has(end));
}

process.stdout.write(
  JSON.stringify({
    accepts: given.sentences.map((words) => accepts(rivalsNet(given.heard, given.rivals), words)),
    instead: given.sentences.map((words) => {
      const found = instead(given.heard, given.rivals, words);
      return found ? [given.rivals.indexOf(found.rival), found.other] : null;
    }),
  }),
);
