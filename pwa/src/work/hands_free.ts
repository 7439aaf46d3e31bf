// Hands-free: while the Bench is in front, speech begins a note and silence ends it.
import { keepAwake } from "../capture/awake";
import { ear as earFor } from "../capture/hands_free";
import { type Microphone, microphone } from "../capture/microphone";
import { loudness } from "../capture/recorder";
import { sounding } from "../capture/signals";
import { whyNotKept } from "../keep/room";
import { speaking } from "../speak/speak";
import * as state from "../state";
import { begin, stop, wrong } from "./session";

/** Speech is noticed after two tenths of a second, and told of a tenth later. */
const NOTICED_MS = 300;

let end: (() => Promise<void>) | undefined;
let changing: Promise<void> = Promise.resolve();

export const handsFreeIsOn = (): boolean => end !== undefined;

/** Let speech begin a note and silence end it; again after the silence was set anew. */
export function handsFree(on: boolean): Promise<void> {
  changing = changing.then(() => change(on));
  return changing;
}

async function change(on: boolean): Promise<void> {
  await end?.();
  end = undefined;
  keepAwake(on);
  if (!on) return;
  try {
    end = follow(await microphone());
  } catch (problem) {
    state.change({ handsFree: false });
    keepAwake(false);
    wrong(whyNotKept(problem));
  }
}

function follow(mic: Microphone): () => Promise<void> {
  const ear = earFor(state.settings.value.silence);
  return mic.listen(mic.moment(performance.now()), (samples) => {
    if (speaking() || sounding(performance.now()) || state.screen.value !== "work") return ear.rest();
    const now = ear.hear(loudness(samples));
    if (now === "begin") void begin(performance.now() - NOTICED_MS);
    if (now === "end") void stop();
  });
}
