// What the desk's page of clocks asks: the list, an answer to one, another clock in words, the address for calls.
import type { Clock } from "../../calls/clock";
import { uuid7 } from "../../keep/clock";
import { ask, get } from "../ask";
import { answered, request } from "../day/request";

export interface Call {
  device: string;
  wall: string;
  why: string;
}

/** What the phone's clock has of it, whom it called, and the shop's time zone. */
export interface Running
  extends Pick<Clock, "id" | "call" | "kind" | "label" | "place" | "since" | "due" | "why" | "caution"> {
  calls: Call[];
  offset_min: number;
}

export interface Past {
  id: string;
  label: string;
  place: string;
  since: string;
  started: number;
  due: string | null;
  how: "done" | "noted" | "scratched" | "lapsed";
  wall: string;
  device: string;
  line: string;
  late: string;
  calls: Call[];
}

export interface Called {
  device: string;
  active: boolean;
  kinds: string[];
  quiet: [number, number] | null;
  detail: boolean;
  alarm: string;
}

export interface Clocks {
  now: number;
  running: Running[];
  past: Past[];
  more: boolean;
  phones: Called[];
  devices: Record<string, string>;
  contact: string;
  placeholder: string;
}

export const clocks = (before?: number): Promise<Clocks> =>
  get<Clocks>(before === undefined ? "/api/desk/clocks" : `/api/desk/clocks?before=${before}`);

const freshKey = (): string => uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10)));

export const answer = (clock: Running, act: "done" | "later"): Promise<unknown> =>
  ask("POST", "/api/desk/clocks", { key: freshKey(), act, entry: clock.id, call: clock.call });

interface Noted {
  entries: { kind: string; line: string; doubts: { question: string }[] }[];
}

/** Note a clock in words; what came of it as lines, the questions first. */
export async function start(words: string): Promise<string[]> {
  const done = await ask<Noted>("POST", "/api/desk/acts", request({ act: "note", words }));
  answered();
  return done.entries.flatMap((entry) => [...entry.doubts.map((doubt) => doubt.question), entry.line]);
}

/** What words would start; its questions are asked before anything is kept. */
export const meaning = (words: string): Promise<{ makes: string; line: string; questions: string[] }> =>
  ask("POST", "/api/desk/meaning", { words });

export const setContact = (contact: string): Promise<{ contact: string }> => ask("PUT", "/api/desk/contact", { contact });
