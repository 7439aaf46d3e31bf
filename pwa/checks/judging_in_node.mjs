// The phone's own noise reduction and judging, for the same questions as Python's (speech/noise.py, core/judging.py).
//   node judging_in_node.mjs GIVEN.json     prints the answers
import "./sources.mjs";
import { readFileSync } from "node:fs";

const { lessNoise } = await import("../src/hear/noise.ts");
const { loudOverQuietDb } = await import("../src/hear/condition.ts");
const { isStrange, strangeWords, wordsOf } = await import("../src/hear/judging.ts");
const given = JSON.parse(readFileSync(process.argv[2], "utf8"));
const pathOf = (pieces) => ({ pieces, spoken: pieces.filter(({ text }) => !/^[<[+(]/.test(text)), score: 0 });

process.stdout.write(
  JSON.stringify({
    cleaned: given.sounds.map(([samples, floor]) => [...lessNoise(Int16Array.from(samples), floor)]),
    loud: given.sounds.map(([samples]) => loudOverQuietDb(Int16Array.from(samples))),
    judged: given.paths.map(({ path, phones, found }) => {
      const [here, free] = [pathOf(path), pathOf(phones)];
      const strange = strangeWords(here, free, given.numbers);
      return { phrase: !isStrange(here, free), strange: [...strange].sort((a, b) => a - b), words: wordsOf(here.spoken, found, strange) };
    }),
  }),
);
