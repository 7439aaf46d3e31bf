// What the page asks of the audio thread, and what it gets. Times are seconds of the audio context's own clock.

/** In the place of a listener's id: the microphone is closed, and the tap ends. */
export const ALL = 0;

/** Begin to hand over from a moment, at most two seconds ago; null ends it. */
export interface Asked {
  id: number;
  from: number | null;
}

/** Samples from the moment `at` on; null once nothing more comes. */
export interface Part {
  id: number;
  at: number;
  samples: Int16Array<ArrayBuffer> | null;
}
