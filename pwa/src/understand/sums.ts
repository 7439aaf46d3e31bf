// The sums as the worker that understands offers and tells them; see core/cards.
import type { JsonObject } from "../keep/canonical";

export interface Ask {
  name: string;
  label: string;
  hint: string;
  holds: "amount" | "count" | "number" | "ratio" | "name" | "choice" | "yes";
  /** The dimension of an amount: "length", "areal weight" … */
  measures: string;
  needed: boolean;
  /** What counts where nothing is given. */
  usual: string;
  units: string[];
  /** Each with what it means. */
  choices: [string, string][];
  signed: boolean;
  rare: boolean;
  hidden: boolean;
}

/** Inputs that go together: one row, or up to `most`. */
export interface Asks {
  name: string;
  label: string;
  hint: string;
  needed: boolean;
  rare: boolean;
  most: number;
  shown: number;
  columns: Ask[];
}

export type Input = Ask | Asks;
export const isRows = (input: Input): input is Asks => "columns" in input;

export interface Card {
  name: string;
  title: string;
  subject: string;
  says: string;
  inputs: Input[];
}

export interface Cloth {
  name: string;
  weight: string;
  ply: string;
  source: string;
}

export type Where = Record<string, string>;
export interface Cards {
  cards: Card[];
  cloths: Cloth[];
  places: Where[];
  last: Where;
}

export type Given = JsonObject;

export interface Answer {
  what: string;
  shown: string;
  formula: string;
  inputs: { name: string; value: string }[];
  source: string;
}

export interface Line {
  name: string;
  drawn: "reckoned" | "read" | "limit";
  points: [string, string][];
}
export interface Curve {
  across: string;
  up: string;
  lines: Line[];
}

export type Found =
  | { wrong: { where: string; why: string } }
  | { wrong: null; parts: (string | Answer)[]; cautions: string[]; curves: Curve[] };
