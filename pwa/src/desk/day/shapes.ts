// What the shop computer tells of days and entries; openapi.yaml has the same shapes.
export type Stands = "open" | "unseen" | "accepted" | "withdrawn";

export interface DayCount {
  day: string;
  entries: number;
  open: number;
  unseen: number;
  accepted: number;
  withdrawn: number;
}

export interface DaysTold {
  aircraft: string;
  revision: string;
  days: DayCount[];
  devices: Record<string, string>;
}

export interface Doubt {
  field: string;
  label: string;
  question: string;
  why: string;
  choices: { choice: "heard" | "runner_up"; told: string }[];
  in_words: boolean;
}

export interface Attached {
  operation: string;
  media: string;
  mime: string;
  role: string;
  name: string;
  size: number;
}

export interface Row {
  id: string;
  version: string;
  wall: string;
  kind: string;
  kind_told: string;
  line: string;
  said: string;
  author: string;
  device: string;
  stands: Stands;
  doubts: Doubt[];
  conflicts: string[];
  withdrawn: string | null;
  accepted: { author: string; wall: string } | null;
  attachments: Attached[];
  ahead_ms: number;
}

export interface By {
  author: string;
  device: string;
  wall: string;
  why: string;
}

export interface HeardWord {
  text: string;
  start: number;
  end: number;
  confidence: number;
  runner_up: string;
  doubtful: boolean;
}

export interface Heard {
  attachment: string;
  where: string;
  engine: string;
  covered: boolean;
  line: string;
  problem: string;
  /** Another number after each try. */
  place: number;
  words: HeardWord[];
}

export interface FieldTold {
  field: string;
  label: string;
  holds: string;
  place: boolean;
  told: string;
  /** The amount in the units that the builder likes, "" where that says nothing new. */
  beside: string;
  in_doubt: boolean;
}

export interface Entry extends Row {
  fields: FieldTold[];
  standing: { field: string; label: string; values: ({ operation: string; told: string } & By)[] }[];
  history: ({ operation: string; act: string; field: string; label: string; before: string; after: string; asked: string[] } & By)[];
  made_from: string[];
  heard: Heard[];
  differing: { field: string; label: string; phone: string; shop: string }[];
}

export interface DayTold {
  day: string;
  entries: Row[];
  devices: Record<string, string>;
  hours: {
    minutes: number;
    told: string;
    sessions: { author: string; from: string; to: string; told: string; part: string; category: string }[];
    remarks: string[];
  };
}

export interface Proposal {
  list: string;
  name: string;
  /** Ways of saying it, commas between. */
  said_as: string;
  /** The name is known, only a way of saying it is new. */
  known: boolean;
  /** The words that were heard in its place. */
  heard: string[];
  /** How each word of a new name will be listened for. */
  sounds: string[];
}

/** A pronunciation that a corrected entry's sound speaks for. */
export interface WaySaid {
  word: string;
  phones: string;
  heard: string;
  teach: { list: string; name: string; said_as: string[]; entry: string };
}

export interface Done {
  kept: string[];
  left: { id: string; why: string }[];
  entries: Entry[];
  teach: Proposal | null;
}
