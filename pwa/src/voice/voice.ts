// A voice that the shop computer learns: what there is to read aloud, what was read here, and what came of it.
// A reading is a recording like every other, kept before anything else; it goes by the same way, and is no note.
import { type Medium, fact, keep, setFact } from "../keep/db";
import { fileOf, media, sha256 } from "../keep/media";
import { ask, asJson } from "../sync/ask";

export interface Sentence {
  text: string;
  part: string;
  read: boolean;
}

export interface NameHeard {
  part: string;
  right: boolean;
  read: string;
  heard: string;
}

export interface Voice {
  state: "none" | "learning" | "helps" | "does not help" | "off";
  on: boolean;
  problem: string;
  sentences: Sentence[];
  fewest: number;
  notes: number | null;
  seconds: number | null;
  right: [number, number] | null;
  of: number | null;
  names: NameHeard[];
  /** Learnt without being asked: from how many notes on, and how many there are. A shop computer of before says nothing. */
  unasked?: { on: boolean; notes: number; of: number };
}

const KEPT = "voice";
const PATH = "/api/voice";

/** As the shop computer told it last. */
export const keptVoice = (): Promise<Voice | undefined> => fact<Voice>(KEPT);

const withMethod = (method: string, value: unknown): RequestInit => ({ ...asJson(value), method });

async function asked(path: string, options: RequestInit = {}): Promise<{ voice?: Voice; wrong: string }> {
  const token = await fact<string>("token");
  if (!token) return { wrong: "this phone is not paired yet" };
  const { outcome, body } = await ask(path, token, options);
  if (outcome.kind !== "taken") return { wrong: outcome.why || "the shop computer is not in reach" };
  const voice = body as Voice;
  await setFact(KEPT, voice);
  return { voice, wrong: "" };
}

export const askVoice = () => asked(PATH);
export const learnVoice = () => asked(`${PATH}/learn`, withMethod("POST", {}));
export const switchVoice = (on: boolean) => asked(PATH, withMethod("PATCH", { on }));

export const forgetVoice = () => asked(PATH, { method: "DELETE" });

/** A reading that is all there: it may go to the shop computer. One that was cut counts as not read. */
export async function keepReading(medium: Medium): Promise<void> {
  const hash = await sha256(await (await fileOf(medium)).arrayBuffer());
  await keep(["media"], async (tx) => {
    const now = await tx.objectStore("media").get(medium.id);
    if (now) await tx.objectStore("media").put({ ...now, sha256: hash, stage: "noted", ...(medium.remark ? { told: true } : {}) });
  });
}

/** The sentences that were read on this phone and not told to the shop computer yet. */
export const readHere = async (): Promise<Set<string>> =>
  new Set((await media()).flatMap(({ reading, told }) => (reading !== undefined && !told ? [reading] : [])));

/** Tell the shop computer of the readings whose sound is there. */
export async function tellReadings(token: string): Promise<void> {
  const waiting = (await media()).filter(({ reading, told, there }) => reading !== undefined && !told && there === 1);
  waiting.sort((one, other) => one.startedMillis - other.startedMillis);
  for (const { id, reading, sha256: hash } of waiting) {
    const { outcome, body } = await ask(`${PATH}/readings`, token, withMethod("PUT", { text: reading, media: hash }));
    if (outcome.kind === "taken") await setFact(KEPT, body);
    else if (outcome.kind !== "refused") return;
    await keep(["media"], async (tx) => {
      const now = await tx.objectStore("media").get(id);
      if (now) await tx.objectStore("media").put({ ...now, told: true });
    });
  }
}
