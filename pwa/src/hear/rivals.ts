// What a sentence is held against: the same sentence with another number, side or name in one of its places. All
// of them are one small automaton, so that one search finds the closest. The rule of core/judging.py.
import type { Rival } from "../understand/messages";
import type { Arc, Net } from "./engine";

/** May come and go before a rival: "installed fittings" against "installed the hinge". */
const SMALL = ["the", "of"];

/**
 * The heard words twice in a row of states, as `head` up to the place and as `tail` from its end on, and
 * between the two, for each place, what else could stand there.
 */
export function rivalsNet(texts: readonly string[], rivals: readonly Rival[]): Net {
  const last = texts.length;
  const head = (at: number) => at;
  const tail = (at: number) => last + 1 + at;
  const arcs: Arc[] = texts.flatMap((word, at): Arc[] => [
    [head(at), head(at + 1), word],
    [tail(at), tail(at + 1), word],
  ]);
  const joins: [number, number][] = [];
  const finals = new Set([tail(last)]);
  let states = 2 * (last + 1);
  for (const { start, end, others } of rivals) {
    const from = head(isSmall(texts[start - 1]) ? start - 1 : start);
    const root = states++;
    joins.push([from, root]);
    for (const small of SMALL) arcs.push([from, root, small]);
    const known = new Map<string, number>();
    const step = (at: number, word: string): number => {
      const key = `${at} ${word}`;
      const there = known.get(key) ?? states++;
      if (!known.has(key)) arcs.push([at, there, word]);
      known.set(key, there);
      return there;
    };
    const ends = [...new Set(others)].flatMap((other) =>
      other === "" ? [from, root] : [other.split(" ").reduce(step, root)],
    );
    // One step without a word must not follow another: the end of the sentence is such a step as well.
    for (const there of ends) {
      if (end === last) finals.add(there);
      else joins.push([there, tail(end)]);
    }
  }
  return { states, arcs, ends: [...finals].map((state) => [state, 0]), joins };
}

/** Which rival the words are of, and what they have in its place; undefined where they are of none. */
export function instead(
  texts: readonly string[],
  rivals: readonly Rival[],
  words: readonly string[],
): { rival: Rival; other: string[] } | undefined {
  for (const rival of rivals) {
    const after = texts.slice(rival.end);
    const bare = texts.slice(0, isSmall(texts[rival.start - 1]) ? rival.start - 1 : rival.start);
    const end = words.length - after.length;
    if (!begins(words, bare) || !begins(words.slice(Math.max(0, end)), after)) continue;
    for (const start of [bare.length, bare.length + 1]) {
      const other = words.slice(start, end);
      const leads = words.slice(bare.length, start).every(isSmall);
      if (start <= end && leads && rival.others.includes(other.join(" "))) return { rival, other };
    }
  }
  return undefined;
}

/** For each heard word what the other has in its place, "" where they agree: `beside` of core/runner_up.py. */
export function beside(heard: readonly string[], other: readonly string[]): string[] {
  const least = Math.min(heard.length, other.length);
  let start = 0;
  while (start < least && heard[start] === other[start]) start++;
  let end = 0;
  while (end < least - start && heard[heard.length - 1 - end] === other[other.length - 1 - end]) end++;
  if (start + end === heard.length && heard.length < other.length) {
    if (start > 0) start--;
    else end--;
  }
  const theirs = other.slice(start, other.length - end);
  const mine = heard.length - start - end;
  return heard.map((_, at) => {
    const between = at - start;
    if (between < 0 || between >= mine) return "";
    if (between === mine - 1 && theirs.length > mine) return theirs.slice(between).join(" ");
    return theirs[between] ?? NOTHING;
  });
}

const NOTHING = "nothing";

function isSmall(word: string | undefined): boolean {
  return word !== undefined && SMALL.includes(word);
}

function begins(words: readonly string[], first: readonly string[]): boolean {
  return first.every((word, at) => words[at] === word);
}
