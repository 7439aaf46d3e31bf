// A speaker has one accent: each is a whole copy of a net, over words of the engine named for it, and a sentence
// stays in the copy in which it began.
import type { Ears } from "../understand/messages";
import type { Arc, Net } from "./engine";

const ACCENTS = ["", "@gb"];

/** The words of both accents, each with its ways to be said. */
export const spokenWords = (words: Ears["words"]): [string, string[]][] =>
  Object.entries(words).flatMap(([word, ways]) => ACCENTS.map((accent, at): [string, string[]] => [word + accent, ways[at] ?? []]));

/** The net once for each accent; they have their beginning in common. */
export function inBothAccents(net: Net): Net {
  const copies = ACCENTS.map((accent, number) => {
    const place = (state: number): number => (state === 0 ? 0 : number * net.states + state);
    return {
      arcs: net.arcs.map(([from, to, word, cost = 0]): Arc => [place(from), place(to), word + accent, cost]),
      ends: net.ends.map(([state, cost]): [number, number] => [place(state), cost]),
      joins: net.joins.map(([from, to]): [number, number] => [place(from), place(to)]),
    };
  });
  return {
    states: ACCENTS.length * net.states,
    arcs: copies.flatMap((copy) => copy.arcs),
    ends: copies.flatMap((copy) => copy.ends),
    joins: copies.flatMap((copy) => copy.joins),
  };
}

/** A sentence and nothing else. */
export function sentenceNet(words: readonly string[]): Net {
  return { states: words.length + 1, arcs: words.map((word, at): Arc => [at, at + 1, word]), ends: [[words.length, 0]], joins: [] };
}
