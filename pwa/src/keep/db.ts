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
  /** The sentence that was read aloud in it, for the shop computer to learn the voice from; such a sound is no note. */
  reading?: string;
  /** The shop computer knows of that reading. */
  told?: boolean;
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
let onNewer: () => void = () => undefined;

/** What to do when another tab holds an older schema open. */
export function whenBlocked(tell: () => void): void {
  onBlocked = tell;
}

/** What to do when a newer app has made a newer schema, which this one cannot open. */
export function whenNewer(tell: () => void): void {
  onNewer = tell;
}

function open(): Promise<IDBPDatabase<Tables>> {
  handle ??= openDB<Tables>("plytally", STEPS.length, {
    upgrade: (db, from) => {
      for (const step of STEPS.slice(from)) step(db);
    },
    blocked: () => onBlocked(),
    blocking: () => handle && drop(handle),
    terminated: () => {
      handle = undefined;
    },
  }).catch((problem: unknown) => {
    handle = undefined;
    if (problem instanceof DOMException && problem.name === "VersionError") onNewer();
    throw problem;
  });
  return handle;
}

/** Close a handle that is dead or in the way; one that was opened since stays. */
function drop(dead: Promise<IDBPDatabase<Tables>>): void {
  if (handle === dead) handle = undefined;
  dead.then((db) => db.close(), () => undefined);
}

const DEAD = new Set(["InvalidStateError", "UnknownError"]);

/** Run `work` on the open database; on a dead handle open a new one and try once more. */
export async function withDb<T>(work: (db: IDBPDatabase<Tables>) => Promise<T>): Promise<T> {
  const tried = open();
  try {
    return await work(await tried);
  } catch (problem) {
    if (!(problem instanceof DOMException) || !DEAD.has(problem.name)) throw problem;
    drop(tried);
    return await work(await open());
  }
}

export type Writing = import("idb").IDBPTransaction<Tables, Name[], "readwrite">;

export const isFull = (problem: unknown): boolean =>
  problem instanceof DOMException && problem.name === "QuotaExceededError";

let onFull: () => Promise<boolean> = async () => false;

/** How to make room when the storage is full; it tells whether any was made. */
export function whenFull(make: () => Promise<boolean>): void {
  onFull = make;
}

/**
 * Write in one transaction; resolves when it is on the medium, rejects if it was aborted. On a full storage room
 * is made and it is tried once more.
 */
export async function keep<T>(names: Name[], write: (tx: Writing) => Promise<T>): Promise<T> {
  try {
    return await keepAsItIs(names, write);
  } catch (problem) {
    if (!isFull(problem) || !(await onFull())) throw problem;
    return keepAsItIs(names, write);
  }
}

/** `keep` without making room: for what makes the room itself. */
export function keepAsItIs<T>(names: Name[], write: (tx: Writing) => Promise<T>): Promise<T> {
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
