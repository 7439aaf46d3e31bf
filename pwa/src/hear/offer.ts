// The better ear: what model the shop computer offers, and fetching it: once, resumed where it was cut, each piece
// compared with its hash. It counts only when all of it is here.
import { fact, setFact } from "../keep/db";
import { sha256 } from "../keep/media";
import { ask } from "../sync/ask";
import { archiveOf, dropOthers, dropPieces, hasPiece, keepPiece } from "./pieces";

export interface Offer {
  name: string;
  address: string;
  size: number;
  piece: number;
  pieces: string[];
  /** Words of the phrasebook that this model cannot hear. */
  lacks: string[];
}

/** The model that this phone hears with; `unpacked` once the engine has taken it in. */
export interface Model extends Offer {
  unpacked: boolean;
}

const STORE = "/vosk";

export const modelHere = (): Promise<Model | undefined> => fact<Model>("model");

/** What the shop computer offers; null where it offers nothing, undefined where it cannot be asked. */
export async function offered(): Promise<Offer | null | undefined> {
  const token = await fact<string>("token");
  if (token === undefined) return undefined;
  const asked = await ask("/api/model", token);
  return asked.outcome.kind === "taken" ? (asked.body as { model: Offer | null }).model : undefined;
}

/** Fetch it; an Error says why it did not come, and what came stays for the next time. */
export async function fetchModel(offer: Offer, told: (share: number) => void): Promise<void> {
  const path = archiveOf(offer.address);
  const token = await fact<string>("token");
  await dropOthers(path);
  for (const [number, hash] of offer.pieces.entries()) {
    if (!(await hasPiece(path, number))) await fetchPiece(offer, path, number, hash, token ?? "");
    told((number + 1) / offer.pieces.length);
  }
  await forgetUnpacked();
  await setFact("model", { ...offer, unpacked: false } satisfies Model);
}

async function fetchPiece(offer: Offer, path: string, number: number, hash: string, token: string): Promise<void> {
  const from = number * offer.piece;
  const to = Math.min(offer.size, from + offer.piece) - 1;
  const answer = await fetch(`${path}?piece=${number}`, {
    headers: { Authorization: `Bearer ${token}`, Range: `bytes=${from}-${to}` },
    cache: "no-store",
    signal: AbortSignal.timeout(120_000),
  });
  if (answer.status !== 206) throw new Error(`the shop computer answered ${answer.status}`);
  const bytes = await answer.arrayBuffer();
  if ((await sha256(bytes)) !== hash) throw new Error("a piece of it was altered on the way; fetch it again");
  await keepPiece(path, number, bytes);
}

/** The engine has its own copy now. */
export async function unpacked(model: Model): Promise<void> {
  await setFact("model", { ...model, unpacked: true } satisfies Model);
  await dropPieces();
}

/** Hear with the embedded engine again. */
export async function forgetModel(): Promise<void> {
  await setFact("model", undefined);
  await dropPieces();
  await forgetUnpacked();
}

/** Two models at once would fill the phone: what an earlier one left goes first. */
function forgetUnpacked(): Promise<void> {
  return new Promise((done) => {
    const asked = indexedDB.deleteDatabase(STORE);
    asked.onsuccess = asked.onerror = asked.onblocked = () => done();
  });
}
