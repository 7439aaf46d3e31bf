// The one door to IndexedDB. "Kept" means that the transaction has completed, with strict durability.
import { type DBSchema, type IDBPDatabase, type StoreNames, openDB } from "idb";
import type { JsonObject } from "./canonical";

export interface Operation extends JsonObject {
  id: string;
  device: string;
  number: number;
  stamp: number[];
  wall: string;
  skew_ms: number | null;
  act: string;
  target: string | null;
  body: JsonObject;
}

export interface Row {
  id: string;
  operation: Operation;
  /** 0 while it waits for the shop computer, 1 when it is there, 2 when it was refused; a number to be indexed. */
  there: 0 | 1 | 2;
  why?: string;
  receivedMillis: number | null;
}

/** A sound or photo, in numbered pieces of at most 1 MB in `pieces`. */
export interface Medium {
  id: string;
  role: "sound" | "photo";
  mime: string;
  name: string;
  startedMillis: number;
  /** open: still growing; closed: all there; noted: an operation tells of it. */
  stage: "open" | "closed" | "noted";
  pieces: number;
  bytes: number;
  sha256: string | null;
  /** The entry it belongs to, once there is one. */
  entry: string | null;
  there: 0 | 1;
  /** Its pieces were let go after the shop computer confirmed it. */
  thinned: boolean;
  remark?: string;
  small?: ArrayBuffer;
}

export interface Tables extends DBSchema {
  operations: { key: string; value: Row; indexes: { there: number } };
  media: { key: string; value: Medium; indexes: { stage: string; there: number } };
  pieces: { key: [string, number]; value: ArrayBuffer };
  facts: { key: string; value: unknown };
}

export type Name = StoreNames<Tables>;

/** Each step is additive and may run twice; a step that was shipped is never edited. */
const STEPS: ((db: IDBPDatabase<Tables>) => void)[] = [
  (db) => {
    if (!db.objectStoreNames.contains("operations")) {
      db.createObjectStore("operations", { keyPath: "id" }).createIndex("there", "there");
    }
    if (!db.objectStoreNames.contains("media")) {
      const media = db.createObjectStore("media", { keyPath: "id" });
      media.createIndex("stage", "stage");
      media.createIndex("there", "there");
    }
    if (!db.objectStoreNames.contains("pieces")) db.createObjectStore("pieces");
    if (!db.objectStoreNames.contains("facts")) db.createObjectStore("facts");
  },
];

let handle: Promise<IDBPDatabase<Tables>> | undefined;
let onBlocked: () => void = () => undefined;

/** What to do when another tab holds an older schema open. */
export function whenBlocked(tell: () => void): void {
  onBlocked = tell;
}

function open(): Promise<IDBPDatabase<Tables>> {
  handle ??= openDB<Tables>("plytally", STEPS.length, {
    upgrade: (db, from) => {
      for (const step of STEPS.slice(from)) step(db);
    },
    blocked: () => onBlocked(),
    blocking: () => drop(),
    terminated: () => {
      handle = undefined;
    },
  }).catch((problem: unknown) => {
    handle = undefined;
    throw problem;
  });
  return handle;
}

function drop(): void {
  void handle?.then((db) => db.close());
  handle = undefined;
}

const DEAD = new Set(["InvalidStateError", "UnknownError"]);

/** Run `work` on the open database; on a dead handle open a new one and try once more. */
export async function withDb<T>(work: (db: IDBPDatabase<Tables>) => Promise<T>): Promise<T> {
  try {
    return await work(await open());
  } catch (problem) {
    if (!(problem instanceof DOMException) || !DEAD.has(problem.name)) throw problem;
    drop();
    return await work(await open());
  }
}

/** Write in one transaction; resolves when it is on the medium, rejects if it was aborted. */
export function keep<T>(
  names: Name[],
  write: (tx: import("idb").IDBPTransaction<Tables, Name[], "readwrite">) => Promise<T>,
): Promise<T> {
  return withDb(async (db) => {
    const tx = db.transaction(names, "readwrite", { durability: "strict" });
    try {
      const made = await write(tx);
      await tx.done;
      return made;
    } catch (problem) {
      await tx.done.catch(() => undefined);
      throw tx.error ?? problem;
    }
  });
}

export const fact = <T>(name: string): Promise<T | undefined> =>
  withDb(async (db) => (await db.get("facts", name)) as T | undefined);

export const setFact = (name: string, value: unknown): Promise<void> =>
  keep(["facts"], async (tx) => {
    await tx.objectStore("facts").put(value, name);
  });
