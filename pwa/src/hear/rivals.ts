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
    const places = new Map<Shared, number>();
    const placed = (shared: Shared): number => {
      const known = places.get(shared);
      if (known !== undefined) return known;
      const state = states++;
      places.set(shared, state);
      for (const [word, next] of shared.next) arcs.push([state, placed(next), word]);
      return state;
    };
    const whole = withTailsShared(others.filter((other) => other !== ""));
    places.set(whole, root);
    for (const [word, next] of whole.next) arcs.push([root, placed(next), word]);
    const ends = [...places].flatMap(([shared, state]) => (shared.ends ? [state] : []));
    if (others.includes("")) ends.push(from, root);
    // One step without a word must not follow another: the end of the sentence is such a step as well.
    for (const there of ends) {
      if (end === last) finals.add(there);
      else joins.push([there, tail(end)]);
    }
  }
  return { states, arcs, ends: [...finals].map((state) => [state, 0]), joins };
}

/** A place in many sentences at once: whether one ends here, and what may follow. */
interface Shared {
  ends: boolean;
  next: Map<string, Shared>;
}

/** The sentences by their beginnings, alike endings once: the unit after each of a thousand numbers is one. */
function withTailsShared(sentences: readonly string[]): Shared {
  const root: Shared = { ends: false, next: new Map() };
  for (const sentence of sentences) {
    let at = root;
    for (const word of sentence.split(" ")) {
      const next = at.next.get(word) ?? { ends: false, next: new Map() };
      at.next.set(word, next);
      at = next;
    }
    at.ends = true;
  }
  const known = new Map<string, Shared>();
  const numbers = new Map<Shared, number>();
  const shared = (place: Shared): Shared => {
    for (const [word, next] of place.next) place.next.set(word, shared(next));
    const key = `${place.ends} ${[...place.next].map(([word, next]) => `${word} ${numbers.get(next)}`).sort().join(",")}`;
    const same = known.get(key) ?? place;
    if (!known.has(key)) {
      known.set(key, place);
      numbers.set(place, numbers.size);
    }
    return same;
  };
  return shared(root);
}

/** Which rival the words are of, and what they have in its place; undefined where they are of none. */
export function instead<R extends Rival>(
  texts: readonly string[],
  rivals: readonly R[],
  words: readonly string[],
): { rival: R; other: string[] } | undefined {
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

function isSmall(word: string | undefined): boolean {
  return word !== undefined && SMALL.includes(word);
}

function begins(words: readonly string[], first: readonly string[]): boolean {
  return first.every((word, at) => words[at] === word);
}
