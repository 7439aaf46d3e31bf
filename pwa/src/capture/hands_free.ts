// Hands-free: speech starts a note, a stretch of silence ends it. Levels only, no model: a shop's steady noise
// is followed by a slow floor, and what stands well above it for a moment is taken for speech.
export interface Ear {
  /** Take the loudness of one tenth of a second; what should happen now. */
  hear(loudness: number): "nothing" | "begin" | "end";
  /** A tenth of a second that says nothing, since the phone itself was heard in it. */
  rest(): void;
}

const ABOVE = 0.12;
const FEW = 2;
/** Tenths of a second in which only the shop is listened to. */
const LEARNING = 8;

/** `silence` is how many seconds of quiet end a note. */
export function ear(silence: number): Ear {
  let floor = 0;
  let learnt = 0;
  let loud = 0;
  let quiet = 0;
  let inNote = false;
  return {
    hear(loudness) {
      if (learnt < LEARNING) {
        floor = (floor * learnt + loudness) / (learnt + 1);
        learnt += 1;
        return "nothing";
      }
      const speaks = loudness > floor + ABOVE;
      floor = loudness < floor ? floor * 0.8 + loudness * 0.2 : floor + (speaks ? 0.0002 : 0.004);
      loud = speaks ? loud + 1 : 0;
      quiet = speaks ? 0 : quiet + 1;
      if (!inNote && loud >= FEW) {
        inNote = true;
        return "begin";
      }
      if (inNote && quiet >= silence * 10) {
        inNote = false;
        return "end";
      }
      return "nothing";
    },
    rest: () => {
      loud = 0;
    },
  };
}
