// Recording, from the first touch to "kept". Nothing here waits for hearing or understanding.
import { keepAwake } from "../capture/awake";
import { ear as handsFreeEar } from "../capture/hands_free";
import { type Microphone, NoMicrophone, microphone, onLost } from "../capture/microphone";
import { smallOf } from "../capture/photo";
import { type Recording, LONGEST_S, lockOf, loudness, start } from "../capture/recorder";
import { signal } from "../capture/signals";
import { closeSound, keepPhoto, media, putMedium } from "../keep/media";
import { whyNotKept } from "../keep/room";
import { hush } from "../speak/speak";
import * as state from "../state";
import { enqueue } from "./queue";

let recording: Recording | undefined;
let mic: Microphone | undefined;

export const soundContext = (): AudioContext | undefined => mic?.context;

const wrong = (why: string): void => {
  state.said.value = { lines: [why], entry: null, tone: "wrong" };
  signal("failed", soundContext(), state.settings.value.tones);
};

/** Begin to record, or end it. */
export async function toggle(): Promise<void> {
  if (state.stage.value === "recording") await stop();
  else if (state.stage.value === "ready") await begin();
}

export async function begin(): Promise<void> {
  if (state.stage.value !== "ready") return;
  const from = performance.now();
  state.stage.value = "opening";
  hush();
  try {
    mic = await microphone();
    recording = await start(mic, {
      level: (loud, seconds) => {
        state.level.value = loud;
        state.seconds.value = seconds;
        if (seconds >= LONGEST_S) void stop();
      },
      failed: wrong,
      silent: () => wrong("no sound is coming in: the microphone is covered, off, or another app has it"),
    });
    state.stage.value = "recording";
    performance.measure("tap to recording", { start: from });
    signal("started", mic.context, state.settings.value.tones);
    keepAwake(true);
  } catch (problem) {
    state.stage.value = "ready";
    wrong(problem instanceof NoMicrophone ? problem.message : `recording did not begin: ${whyNotKept(problem)}`);
  }
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
    state.stage.value = "ready";
    state.level.value = 0;
    state.seconds.value = 0;
  }
}

onLost((why) => {
  if (state.stage.value !== "recording") return;
  void stop().then(() => wrong(`${why}. What was said before that is kept`));
});

/** Keep the photos just taken, each whole, and show them small. */
export async function takePhotos(files: readonly File[]): Promise<void> {
  for (const file of files) {
    try {
      const medium = await keepPhoto(file, null);
      signal("kept", soundContext(), state.settings.value.tones);
      const small = await smallOf(file);
      const kept = small ? { ...medium, small } : medium;
      if (small) await putMedium(kept);
      const url = URL.createObjectURL(new Blob([small ?? (await file.arrayBuffer())], { type: small ? "image/jpeg" : file.type }));
      state.photos.value = [{ id: medium.id, url }, ...state.photos.value].slice(0, 4);
      enqueue(kept);
    } catch (problem) {
      wrong(`the photo could not be kept: ${whyNotKept(problem)}`);
    }
  }
}

/** Recordings that a crash, a call or a closed tab cut: what is there of them counts as whole. */
export async function closeCut(): Promise<number> {
  const held = new Set((await navigator.locks.query()).held?.map((lock) => lock.name));
  const cut = (await media()).filter((medium) => medium.stage === "open" && !held.has(lockOf(medium.id)));
  for (const medium of cut) await closeSound(medium.id, "cut short: the app was closed while it recorded");
  return cut.length;
}

let endHandsFree: (() => Promise<void>) | undefined;

/** Let speech begin a note and silence end it. */
export async function handsFree(on: boolean): Promise<void> {
  await endHandsFree?.();
  endHandsFree = undefined;
  keepAwake(on);
  if (!on) return;
  try {
    mic = await microphone();
  } catch (problem) {
    state.settings.value = { ...state.settings.value, handsFree: false };
    return wrong(whyNotKept(problem));
  }
  const ear = handsFreeEar(state.settings.value.silence);
  endHandsFree = mic.listen((part) => {
    const now = ear.hear(loudness(part));
    if (now === "begin") void begin();
    if (now === "end") void stop();
  });
}
