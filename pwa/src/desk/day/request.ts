// A request to do something: what is asked, and a key that stays the same until it was answered.
import { uuid7 } from "../../keep/clock";
import type { Shot } from "./shots";

interface Seen {
  id: string;
  version: string;
}

export type Act =
  | { act: "accept"; entries: Seen[] }
  | { act: "answer"; entries: Seen[]; field: string; choice: "heard" | "runner_up" | "words"; words?: string }
  | { act: "settle"; entries: Seen[]; field: string; operation: string }
  | { act: "correct"; entries: Seen[]; field: string; words: string }
  | { act: "reword"; entries: Seen[]; words: string }
  | { act: "withdraw" | "bring_back"; entries: Seen[]; why: string }
  | { act: "split"; entries: Seen[]; parts: string[] }
  | { act: "join"; entries: Seen[]; words: string }
  | { act: "note"; words: string; wall?: string }
  | { act: "attach"; entries: Seen[]; photos: Shot[] }
  | { act: "note_photos"; words: string; photos: Shot[]; wall?: string };

export const seen = (row: Seen): Seen => ({ id: row.id, version: row.version });

let last = { asked: "", key: "" };

/** The act with its key. The very same act asked again, before another one, is the same request. */
export function request(act: Act): Act & { key: string } {
  const asked = JSON.stringify(act);
  if (asked !== last.asked) last = { asked, key: uuid7(Date.now(), crypto.getRandomValues(new Uint8Array(10))) };
  return { ...act, key: last.key };
}

/** The request was answered: the same words asked once more are another request. */
export function answered(): void {
  last = { asked: "", key: "" };
}
