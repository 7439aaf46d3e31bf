// What the page asks of the worker that hears, and what goes between it and the worker that understands. A hearing
// has the shape of core/hearing.py's JSON; what of a search makes one is said in core/pocket_hearing.py.
import type { Ears } from "../understand/messages";
import type { Piece } from "./engine";

export interface Word {
  text: string;
  start: string;
  end: string;
  confidence: string;
  runner_up: string;
  [key: string]: string;
}

export interface Hearing {
  engine: string;
  covered: boolean;
  seconds: string;
  words: Word[];
  alternatives: { text: string; margin: string }[];
  remarks: string[];
  [key: string]: string | boolean | string[] | Record<string, string>[];
}

/** A note as the engine has it: its best path through the phrasebook and the best of free phones, null for none. */
export interface Sounded {
  engine: string;
  /** Whether the engine knows the speaker's voice so well that numbers which sound alike are told apart. */
  learnt: boolean;
  seconds: number;
  path: Piece[] | null;
  phones: Piece[] | null;
}

/** Other words for `start` to `end` (not included); none is asked about that is `reach` or more behind. */
export interface Searched {
  start: number;
  end: number;
  others: string[];
  reach: number;
}

/** What a note is to be held against, or its hearing where there is nothing to weigh. */
export interface Against {
  hearing: Hearing | null;
  texts: string[];
  rivals: Searched[];
  /** Those that the shop's order makes likelier than what was heard. */
  likely: Searched[];
}

/** What was found: which rival of which list, its words, how far behind they came; and what there was no time for. */
export interface Weighed {
  found: { of: "rivals" | "likely"; at: number; words: string[]; margin: number }[];
  left: number[];
}

/** What a learnt voice is heard by, and whether its numbers were read aloud. */
export interface VoiceFile {
  means: ArrayBuffer;
  readAloud: boolean;
}

export type Question =
  | { id: number; name: "open"; ears: Ears; voice: VoiceFile | undefined }
  | { id: number; name: "hear"; samples: Int16Array<ArrayBuffer> }
  | { id: number; name: "weigh"; against: Against };

export type Gives = { open: null; hear: Sounded; weigh: Weighed };
export type Answer = { id: number; gives: Gives[keyof Gives]; took: number } | { id: number; wrong: string };
