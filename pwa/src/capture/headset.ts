// The button of a headset reaches a page only by way of the media session, and a page has that only while it
// plays something: so it plays silence.
import { wavHead } from "../keep/media";

const PRESSES = ["play", "pause", "stop", "nexttrack", "previoustrack", "togglemicrophone", "hangup"];
/** A browser gives the session only to what lasts longer than a chime. */
const BYTES = 16_000 * 2 * 10;

let silence: HTMLAudioElement | undefined;

/** Let each press of a headset's button call `press`, or leave the button to other apps. */
export function followHeadset(on: boolean, press: () => void): void {
  const session = navigator.mediaSession as MediaSession | undefined;
  if (!session) return;
  if (!on) silence?.pause();
  else void playSilence();
  session.playbackState = on ? "playing" : "none";
  for (const name of PRESSES) {
    try {
      session.setActionHandler(name as MediaSessionAction, on ? () => pressed(press) : null);
    } catch {
      // this browser does not know that button
    }
  }
}

/** Browsers let sound begin only within a touch: called at each until it plays. */
export function keepPlaying(): void {
  if (silence?.paused && navigator.mediaSession.playbackState === "playing") void playSilence();
}

function pressed(press: () => void): void {
  press();
  void playSilence();
}

async function playSilence(): Promise<void> {
  silence ??= new Audio(URL.createObjectURL(new Blob([wavHead(BYTES), new Uint8Array(BYTES)], { type: "audio/wav" })));
  silence.loop = true;
  await silence.play().catch(() => undefined); // the next touch tries again
}
