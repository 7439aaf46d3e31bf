// How far to trust a path: against any phones at all, and against what else each place could have been. The rules
// of the shop computer's core/judging.py, with the phone's own margins.
import type { Rival } from "../understand/messages";
import type { Path, Piece } from "./engine";
import type { Word } from "./messages";
import { beside } from "./rivals";

/**
 * A path this much worse a frame than free phones is no phrase. Engine and model are the shop computer's, and so are
 * the scores to the last digit; these margins are its own, and were checked on the tuning voices of tests/bench.
 */
const STRANGE = 2.85;
/** Frames, and how much worse than free phones they may fit on average. */
const STRETCH = { frames: 30, strange: 4.8 };
/** How much worse than free phones the words of one number may fit on average. */
const STRANGE_NUMBER = 2.6;
/** Frames: a steady noise is heard as words of two seconds and more. */
const LONGEST_WORD = 120;
/** A rival less than this behind (natural logarithm) is told as the runner-up. */
const CLOSE = { number: 50, name: 26, kind: 60, "left out": 12, alike: 60 };
/** How often what was heard is right at a tie, and how fast that rises with the margin. */
const TIE = 0.65;
const SLOPE = 15;

/** One rival of a sentence: what it has in its place, and how far behind it came. */
export interface Judged {
  rival: Rival;
  words: readonly string[];
  margin: number;
}

export function isClose({ rival, words, margin }: Judged): boolean {
  if (words.length === 0) return margin < CLOSE["left out"];
  return margin < CLOSE[rival.alike.includes(words.join(" ")) ? "alike" : rival.sort];
}

/** Whether one of the rivals could still be close if it came no nearer than this. */
export function mayBeClose(rivals: readonly Rival[], margin: number): boolean {
  return rivals.some(({ sort, alike }) => margin < Math.max(CLOSE[sort], alike.length > 0 ? CLOSE.alike : 0));
}

/** Whether free phones fit the spoken part so much better that it is no phrase. */
export function isStrange(path: Path, phones: Path | undefined): boolean {
  const { spoken } = path;
  if (!phones || spoken.length === 0 || spoken.some(({ start, end }) => end - start > LONGEST_WORD)) return true;
  return meanOf(spoken, lost(path, phones)) >= STRANGE;
}

/** The words of a stretch or number that sounds like something else, as places among the path's words. */
export function strangeWords(path: Path, phones: Path | undefined, numbers: readonly string[]): Set<number> {
  const { spoken } = path;
  if (!phones || spoken.length === 0) return new Set();
  const each = lost(path, phones);
  const width = Math.min(STRETCH.frames, each.length);
  const found = new Set<number>();
  let sum = 0;
  each.forEach((worse, at) => {
    sum += worse - (at >= width ? (each[at - width] ?? 0) : 0);
    const from = at - width + 1;
    if (from >= 0 && sum / width > STRETCH.strange) found.add(nearest(spoken, from + Math.floor(width / 2)));
  });
  for (const at of strangeNumbers(spoken, each, numbers)) found.add(at);
  return found;
}

/** The path's words; those with a rival have confidence and runner-up from the closest, strange ones are a tie. */
export function wordsOf(spoken: readonly Piece[], found: readonly Judged[], strange: ReadonlySet<number>): Word[] {
  const closest = new Map<number, { margin: number; other: string }>();
  for (const judged of [...found].sort((one, other) => one.margin - other.margin)) {
    const { rival, words, margin } = judged;
    beside(spoken.slice(rival.start, rival.end).map(({ text }) => text), words).forEach((other, at) => {
      const place = rival.start + at;
      if (!closest.has(place)) closest.set(place, { margin, other: isClose(judged) ? other : "" });
    });
  }
  for (const at of strange) {
    const { margin, other } = closest.get(at) ?? { margin: 0, other: "" };
    closest.set(at, { margin: Math.min(margin, 0), other });
  }
  return spoken.map(({ text, start, end }, at) => {
    const { margin, other } = closest.get(at) ?? { margin: Infinity, other: "" };
    return { text, start: (start / 100).toFixed(2), end: (end / 100).toFixed(2), confidence: confidence(margin).toFixed(2), runner_up: other };
  });
}

function strangeNumbers(spoken: readonly Piece[], each: Float64Array, numbers: readonly string[]): number[] {
  const found: number[] = [];
  let run: number[] = [];
  for (let at = 0; at <= spoken.length; at++) {
    const piece = spoken[at];
    if (piece && numbers.includes(piece.text)) {
      run.push(at);
      continue;
    }
    if (run.length > 0 && meanOf(run.flatMap((place) => spoken[place] ?? []), each) > STRANGE_NUMBER) found.push(...run);
    run = [];
  }
  return found;
}

function nearest(spoken: readonly Piece[], frame: number): number {
  const away = spoken.map(({ start, end }) => Math.max(start - frame, frame - end + 1, 0));
  return away.indexOf(Math.min(...away));
}

/** For each frame, by how much free phones fit better than the path. */
function lost(path: Path, phones: Path): Float64Array {
  const each = new Float64Array(Math.max(path.pieces.at(-1)?.end ?? 0, phones.pieces.at(-1)?.end ?? 0));
  for (const [pieces, sign] of [[phones.pieces, 1], [path.pieces, -1]] as const) {
    for (const { start, end, score } of pieces) {
      for (let at = start; at < end; at++) each[at] = (each[at] ?? 0) + (sign * score) / Math.max(1, end - start);
    }
  }
  return each;
}

function meanOf(pieces: readonly Piece[], each: Float64Array): number {
  let sum = 0;
  let frames = 0;
  for (const { start, end } of pieces) {
    for (let at = start; at < end; at++) sum += each[at] ?? 0;
    frames += end - start;
  }
  return sum / Math.max(1, frames);
}

/** How often a word is right whose closest rival is that far behind, 0 to 1. */
function confidence(margin: number): number {
  return 1 / (1 + Math.exp(-(Math.log(TIE / (1 - TIE)) + margin / SLOPE)));
}
