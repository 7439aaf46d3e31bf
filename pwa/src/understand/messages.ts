// What the page asks of the worker that understands, and what it gets back. All of it is plain JSON.
import type { JsonObject } from "../keep/canonical";
import type { Clock } from "../calls/clock";
import type { Against, Hearing, Sounded, Weighed } from "../hear/messages";
import type { Act } from "../keep/operations";
import type { Cards, Found, Given, Where } from "./sums";

export interface Doubt {
  field: string;
  heard: string;
  runner_up: string;
  why: string;
  question: string;
}

export interface Line {
  id: string;
  line: string;
  said: string;
  kind: string;
  wall: string;
  doubts: Doubt[];
  conflicts: string[];
  withdrawn: string | null;
  attachments: { media: string; role: string }[];
}

export interface Board {
  aircraft: string;
  revision: string;
  entries: Line[];
  count: number;
  to_settle: Line[];
  owed: string[];
}

export interface Reply {
  makes?: "entry" | "question" | "command";
  name?: string;
  acts: Act[];
  /** The entry it is about: "new" for the note among the acts, null for none. */
  target?: string | null;
  lines: string[];
  say?: string[];
}

/** What an engine listens by: core/ears.py says what it holds. */
export interface Ears {
  states: number;
  arcs: [from: number, to: number, word: string, cost: number][];
  ends: [state: number, cost: number][];
  words: Record<string, [american: string[], british: string[]]>;
}

/** Other things that could have been said in words `start` to `end` (not included). */
export interface Rival {
  start: number;
  end: number;
  others: string[];
}

export interface Choice {
  value: string;
  label: string;
}

/** An entry under way by large buttons: what to choose next, null if nothing is left, and the sentence so far. */
export interface Chosen {
  ask: { field: string; choices: Choice[]; units: string[]; steps: number[]; optional: boolean } | null;
  sentence: string;
}

/** `likes` are the desk's settings of how days, times and amounts are written. */
export type PrintCopy = { print: JsonObject | null; words: JsonObject; resin_times?: JsonObject; by_sound_alone?: boolean; likes?: JsonObject };
export type Received = [operation: JsonObject, millis: number | null];

export interface Asks {
  open: { takes: [copy: PrintCopy, rows: Received[]]; gives: string[] };
  saw: { takes: [rows: Received[]]; gives: string[] };
  take: { takes: [hearing: JsonObject | string, now: string, changes: [number, number][], skewMs: number]; gives: Reply };
  clocks: { takes: [now: string]; gives: Clock[] };
  settle: { takes: [entry: string, field: string, choice: string, changes: [number, number][]]; gives: Reply };
  scratch: { takes: [entry: string]; gives: Reply };
  board: { takes: [now: string]; gives: Board };
  ears: { takes: []; gives: Ears };
  /** What `ears` gave at an earlier visit, for the same print and core. */
  hear_by: { takes: [ears: Ears]; gives: null };
  /** A sample of what can be said, for an engine that takes a list of sentences. */
  sentences: { takes: []; gives: string[] };
  /** What a note begun at `at` is to be held against. */
  sounded: { takes: [note: Sounded, at: string]; gives: Against };
  /** The hearing of the note that `sounded` was about. */
  weighed: { takes: [found: Weighed]; gives: Hearing };
  /** The same for an engine that weighs by itself. */
  rivals: { takes: [text: string]; gives: Rival[] };
  choose: { takes: [picked: Record<string, string>]; gives: Chosen };
  retell: { takes: [entry: string, sentence: string, now: string, changes: [number, number][], skewMs: number]; gives: Reply };
  /** One entry, however old; null where this phone does not have it. */
  entry: { takes: [entry: string]; gives: Line | null };
  cards: { takes: []; gives: Cards };
  sum: { takes: [card: string, given: Given]; gives: Found };
  keep_sum: { takes: [card: string, given: Given, where: Where]; gives: Reply };
}

export type Name = keyof Asks;
export interface Question {
  id: number;
  name: Name;
  takes: unknown[];
}
export type Answer = { id: number; gives: unknown } | { id: number; wrong: string };
