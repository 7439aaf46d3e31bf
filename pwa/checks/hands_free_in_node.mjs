// Hands-free by loudness alone, for rows of tenths of a second.
//   node hands_free_in_node.mjs GIVEN.json     prints what each tenth of each row made happen
import { readFileSync } from "node:fs";
import { ear } from "../src/capture/hands_free.ts";

const given = JSON.parse(readFileSync(process.argv[2], "utf8"));
const followed = ({ silence, loudness }) => {
  const made = ear(silence);
  return loudness.map((loud) => (loud === null ? (made.rest(), "nothing") : made.hear(loud)));
};
process.stdout.write(JSON.stringify(given.map(followed)));
