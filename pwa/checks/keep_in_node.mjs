// The phone's own canonical bytes, clock and ids, for the same questions as Python's (core/canonical.py, clock.py).
//   node keep_in_node.mjs GIVEN.json     prints the answers
import { readFileSync } from "node:fs";
import { canonical } from "../src/keep/canonical.ts";
import { observe, tick, uuid7, wall } from "../src/keep/clock.ts";

const given = JSON.parse(readFileSync(process.argv[2], "utf8"));
const refused = (value) => {
  try {
    canonical(value);
    return false;
  } catch {
    return true;
  }
};
process.stdout.write(
  JSON.stringify({
    canonical: given.values.map((value) => Buffer.from(canonical(value)).toString("hex")),
    refused: given.refused.map(refused),
    ticks: given.ticks.map(([last, now]) => tick(last, now)),
    observed: given.observed.map(([last, remote, now]) => observe(last, remote, now)),
    ids: given.ids.map(([millis, bytes]) => uuid7(millis, Uint8Array.from(bytes))),
    walls: given.walls.map(([millis, offset]) => wall(millis, offset)),
  }),
);
