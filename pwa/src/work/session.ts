// Recording, from the first touch to "kept". Nothing here waits for hearing or understanding, and with the
// microphone open nothing is waited for at all between the touch and the first sample.
import { worked } from "../capture/awake";
import { type Microphone, NoMicrophone, flowing, microphone, onLost, soundContext } from "../capture/microphone";
import { type Recording, LONGEST_S, lockOf, start } from "../capture/recorder";
import { signal, sounding } from "../capture/signals";
import { closeSound, media } from "../keep/media";
import { whyNotKept } from "../keep/room";
import { hush, speaking } from "../speak/speak";
import * as state from "../state";
import { enqueue } from "./queue";

/** What was heard before the touch is kept too, since many speak while they touch. */
const BEFORE_MS = 300;

let recording: Recording | undefined;
/** The end of the last recording on the page's clock: what is in it is not taken into the next as well. */
let endedAt = 0;

export const wrong = (why: string): void => {
  state.said.value = { lines: [why], entry: null, tone: "wrong" };
  signal("failed", soundContext(), state.settings.value.tones);
};

const OLDEST_TOUCH_MS = 1500;

/** When a touch happened; a browser that counts from another beginning is not believed. */
function when(touched: number): number {
  const now = performance.now();
  return touched > now || touched < now - OLDEST_TOUCH_MS ? now : touched;
}

/** Begin to record, or end it; `touched` is when the builder did so, on the page's clock in milliseconds. */
export async function toggle(touched: number = performance.now()): Promise<void> {
  if (state.stage.value === "recording") await stop();
  else if (state.stage.value === "ready") await begin(touched);
}

export async function begin(touched: number = performance.now()): Promise<void> {
  if (state.stage.value !== "ready") return;
  const at = when(touched);
  const mic = flowing();
  if (mic) return record(mic, at);
  state.stage.value = "opening";
  hush();
  try {
    record(await microphone(), at);
  } catch (problem) {
    state.stage.value = "ready";
    wrong(problem instanceof NoMicrophone ? problem.message : `recording did not begin: ${whyNotKept(problem)}`);
  }
}

function record(mic: Microphone, touched: number): void {
  const quiet = !speaking() && !sounding(touched);
  const from = Math.max(endedAt, quiet ? touched - BEFORE_MS : touched);
  recording = start(mic, mic.moment(from), {
    first: (at) => performance.measure("tap to first sample", { start: touched, end: Math.max(0, mic.pageTime(at)) }),
    level: (loud, seconds) => {
      state.level.value = loud;
      state.seconds.value = seconds;
      if (seconds >= LONGEST_S) void stop();
    },
    notBegun,
    failed: wrong,
    silent: () => wrong("no sound is coming in: the microphone is covered, off, or another app has it"),
  });
  hush();
  state.stage.value = "recording";
  performance.measure("tap to recording", { start: touched });
  requestAnimationFrame(() => setTimeout(() => performance.measure("tap to shown", { start: touched }), 0));
  signal("started", soundContext(), state.settings.value.tones);
  worked();
}

/** The storage took not even the beginning: the recording is over, and it is said. */
function notBegun(problem: unknown): void {
  const never = recording;
  recording = undefined;
  void never?.stop().catch(() => undefined);
  atRest();
  wrong(`recording did not begin: ${whyNotKept(problem)}`);
}

function atRest(): void {
  state.stage.value = "ready";
  state.level.value = 0;
  state.seconds.value = 0;
}

export async function stop(): Promise<void> {
  const ending = recording;
  if (!ending || state.stage.value !== "recording") return;
  const from = performance.now();
  state.stage.value = "keeping";
  recording = undefined;
  try {
    const medium = await ending.stop();
    performance.measure("stop to kept", { start: from });
    signal("kept", soundContext(), state.settings.value.tones);
    state.said.value = { lines: [medium.remark ? `kept, but ${medium.remark}` : "kept"], entry: null, tone: medium.remark ? "wrong" : "plain" };
    enqueue(medium);
  } catch (problem) {
    wrong(`the end of the recording could not be written: ${whyNotKept(problem)}. What came before is kept`);
  } finally {
    endedAt = performance.now();
    atRest();
    worked();
  }
}

onLost((why) => {
  if (state.stage.value !== "recording") return;
  void stop().then(() => wrong(`${why}. What was said before that is kept`));
});

/** The page goes out of sight, perhaps for good: what has come so far is written at once. */
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") recording?.flush();
});

/** Recordings that a crash, a call or a closed tab cut: what is there of them counts as whole. */
export async function closeCut(): Promise<number> {
  const held = new Set((await navigator.locks.query()).held?.map((lock) => lock.name));
  const cut = (await media()).filter((medium) => medium.stage === "open" && !held.has(lockOf(medium.id)));
  for (const medium of cut) await closeSound(medium.id, "cut short: the app was closed while it recorded");
  return cut.length;
}
