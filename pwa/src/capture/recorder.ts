// A recording under way: sound is on the medium every half second, and the next is written after it.
import { type Medium } from "../keep/db";
import { RATE, addPiece, closeSound, newSound, putMedium } from "../keep/media";
import { whyNotKept } from "../keep/room";
import { type Microphone } from "./microphone";

export const LONGEST_S = 600;
const SILENT = 60;
const PIECE = RATE / 2;

export interface Recording {
  readonly medium: Medium;
  /** Write what has come so far, without waiting for the half second to be full. */
  flush(): void;
  /** Ends it; resolves with what is kept once all of it is on the medium. */
  stop(): Promise<Medium>;
}

export interface Told {
  level(loudness: number, seconds: number): void;
  /** When the first sample was heard, in seconds of the microphone's clock. */
  first(at: number): void;
  /** Not even its beginning could be written: nothing is kept of it. */
  notBegun(problem: unknown): void;
  /** Sound could not be written; what was written before stays. */
  failed(why: string): void;
  /** Nothing but digital silence has come in for a while. */
  silent(): void;
}

/**
 * Record from the moment `from` on; sound is taken in before this returns, and written while it comes. `reading` is
 * the sentence that is read aloud: from its first byte on nothing takes such a sound for a note.
 */
export function start(mic: Microphone, from: number, told: Told, reading?: string): Recording {
  const medium: Medium = reading === undefined ? newSound() : { ...newSound(), reading };
  const writer = new Writer(medium, told);
  const end = mic.listen(from, (samples, at) => writer.take(samples, at));
  const letGo = hold(medium.id);
  return {
    medium,
    flush: () => writer.flush(),
    stop: async () => {
      try {
        await end();
        await writer.finish();
        return await closeSound(medium.id, writer.remark);
      } finally {
        letGo();
      }
    },
  };
}

export const lockOf = (id: string): string => `plytally-recording-${id}`;

/** Tell other tabs that this recording is under way; a crash lets go of it too. */
function hold(id: string): () => void {
  let letGo: () => void = () => undefined;
  const held = new Promise<void>((done) => {
    letGo = done;
  });
  void navigator.locks.request(lockOf(id), () => held);
  return letGo;
}

class Writer {
  remark = "";
  private piece = new Int16Array(PIECE);
  private at = 0;
  private count = 0;
  private quiet = 0;
  private begun = true;
  private queue: Promise<void>;

  constructor(
    private readonly medium: Medium,
    private readonly told: Told,
  ) {
    this.queue = putMedium(medium).catch((problem: unknown) => {
      this.begun = false;
      told.notBegun(problem);
    });
  }

  take(samples: Int16Array<ArrayBuffer>, at: number): void {
    if (this.count === 0) this.told.first(at);
    let from = 0;
    while (from < samples.length) {
      const some = Math.min(samples.length - from, PIECE - this.at);
      this.piece.set(samples.subarray(from, from + some), this.at);
      this.at += some;
      from += some;
      if (this.at === PIECE) this.flush();
    }
    this.count += samples.length;
    const loud = loudness(samples);
    this.quiet = loud === 0 ? this.quiet + 1 : 0;
    if (this.quiet === SILENT) this.told.silent();
    this.told.level(loud, this.count / RATE);
  }

  async finish(): Promise<void> {
    this.flush();
    await this.queue;
  }

  flush(): void {
    if (this.at === 0) return;
    const piece = this.piece.slice(0, this.at);
    this.at = 0;
    this.queue = this.queue
      .then(() => (this.begun ? addPiece(this.medium.id, piece) : undefined))
      .catch((problem: unknown) => {
        this.remark = `a part of the sound could not be written: ${whyNotKept(problem)}`;
        this.told.failed(this.remark);
      });
  }
}

/** Root mean square on a scale of 0 to 1, where speech into a phone lies around a half. */
export function loudness(part: Int16Array): number {
  let sum = 0;
  for (const sample of part) sum += sample * sample;
  const rms = Math.sqrt(sum / Math.max(1, part.length));
  return rms < 1 ? 0 : Math.max(0.01, Math.min(1, Math.log10(rms) / 4 - 0.15));
}
