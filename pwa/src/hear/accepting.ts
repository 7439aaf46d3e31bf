// Whether words are a whole sentence of the phrasebook, by the automaton that the engines listen by.
import type { Ears } from "../understand/messages";

export function accepts({ arcs, ends }: Pick<Ears, "arcs" | "ends">, words: readonly string[]): boolean {
  if (words.length === 0) return false;
  let at = new Set([0]);
  for (const word of words) {
    at = new Set(arcs.filter(([from, , said]) => said === word && at.has(from)).map(([, to]) => to));
  }
  return ends.some(([state]) => at.has(state));
}
