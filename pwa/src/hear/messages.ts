// What the page asks of the worker that hears. A hearing has the shape of core/hearing.py's JSON.
import type { Ears, Rival } from "../understand/messages";

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

export type Question =
  | { id: number; name: "open"; ears: Ears; means: ArrayBuffer | undefined }
  | { id: number; name: "hear"; samples: Int16Array<ArrayBuffer> }
  | { id: number; name: "weigh"; hearing: Hearing; rivals: Rival[] };

export type Answer = { id: number; gives: Hearing | null; took: number } | { id: number; wrong: string };
