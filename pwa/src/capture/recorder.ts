// A recording under way: every second of sound is on the medium before the next is written.
import { type Medium } from "../keep/db";
import { RATE, addPiece, closeSound, openSound } from "../keep/media";
import { whyNotKept } from "../keep/room";
import { type Microphone } from "./microphone";

export const LONGEST_S = 600;
const SILENT = 60;

export interface Recording {
  readonly medium: Medium;
  readonly startedAt: number;
  /** Ends it; resolves with what is kept once all of it is on the medium. */
  stop(): Promise<Medium>;
}

export interface Told {
  level(loudness: number, seconds: number): void;
  /** Sound could not be written; what was written before stays. */
  failed(why: string): void;
  /** Nothing but digital silence has come in for a while. */
  silent(): void;
}

/** Start to record; resolves when the first sample can come in. */
export async function start(mic: Microphone, told: Told): Promise<Recording> {
  const medium = await openSound();
  const letGo = hold(medium.id);
  const writer = new Writer(medium.id, told);
  const end = mic.listen((part) => writer.take(part));
  return {
    medium,
    startedAt: performance.now(),
    stop: async () => {
      await end();
      await writer.finish();
      const closed = await closeSound(medium.id, writer.remark);
      letGo();
      return closed;
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
  private second = new Int16Array(RATE);
  private at = 0;
  private seconds = 0;
  private quiet = 0;
  private queue: Promise<void> = Promise.resolve();

  constructor(
    private readonly id: string,
    private readonly told: Told,
  ) {}

  take(part: Int16Array<ArrayBuffer>): void {
    let from = 0;
    while (from < part.length) {
      const count = Math.min(part.length - from, RATE - this.at);
      this.second.set(part.subarray(from, from + count), this.at);
      this.at += count;
      from += count;
      if (this.at === RATE) this.put();
    }
    this.seconds += part.length / RATE;
    const loud = loudness(part);
    this.quiet = loud === 0 ? this.quiet + 1 : 0;
    if (this.quiet === SILENT) this.told.silent();
    this.told.level(loud, this.seconds);
  }

  async finish(): Promise<void> {
    if (this.at > 0) this.put();
    await this.queue;
  }

  private put(): void {
    const piece = this.second.slice(0, this.at);
    this.at = 0;
    this.queue = this.queue
      .then(() => addPiece(this.id, piece))
      .catch((problem: unknown) => {
        this.remark = `a second of sound could not be written: ${whyNotKept(problem)}`;
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
