// One microphone at a time: asked for once, watched for being taken away, let go when it is not needed.
import tapUrl from "./tap.ts?worker&url";
import { ALL, type Asked, type Part } from "./tapping";
import { RATE } from "../keep/media";

export class NoMicrophone extends Error {}

export interface Microphone {
  /** The moment of something that happened at `performanceMs`, on the clock of the samples, in seconds. */
  moment(performanceMs: number): number;
  /** `moment` turned round: milliseconds on the page's clock. */
  pageTime(moment: number): number;
  /**
   * Hand samples to `take` from the moment `from` on, at most two seconds ago, as far as they were heard. The
   * returned function stops, after the last samples were handed over.
   */
  listen(from: number, take: (samples: Int16Array<ArrayBuffer>, at: number) => void): () => Promise<void>;
  /** Whether sound can still come in. */
  alive(): boolean;
  /** Whether anything listens. */
  used(): boolean;
  close(): void;
}

const WHY: Record<string, string> = {
  NotAllowedError: "the microphone is not allowed for this page; allow it in the browser's settings for this site",
  NotFoundError: "no microphone was found on this phone",
  NotReadableError: "another app holds the microphone; end it there, then try again",
};

let context: AudioContext | undefined;
let loaded: Promise<AudioContext> | undefined;
let opened: Promise<Microphone> | undefined;
let open: Microphone | undefined;
let whenLost: (why: string) => void = () => undefined;

/** Called when sound stops coming in: another app took the microphone, or the right to it ended. */
export function onLost(tell: (why: string) => void): void {
  whenLost = tell;
}

/** The sound system of the page, for tones too; undefined before it was first needed. */
export const soundContext = (): AudioContext | undefined => context;

/** Load what a recording needs besides the microphone itself. */
export function loadAhead(): Promise<AudioContext> {
  loaded ??= load().catch((problem: unknown) => {
    loaded = undefined;
    throw problem;
  });
  return loaded;
}

async function load(): Promise<AudioContext> {
  const made = new AudioContext({ sampleRate: RATE, latencyHint: "interactive" });
  context = made;
  await made.audioWorklet.addModule(tapUrl);
  made.addEventListener("statechange", () => {
    if (open?.alive() && made.state !== "running" && made.state !== "closed") whenLost("the phone stopped its sound");
  });
  return made;
}

/** The open microphone if sound flows through it at this moment, without waiting for anything. */
export const flowing = (): Microphone | undefined =>
  open?.alive() && context?.state === "running" ? open : undefined;

/** The microphone, opened if need be; NoMicrophone says why there is none and what to do. */
export async function microphone(): Promise<Microphone> {
  void context?.resume(); // within the touch, where a browser wants one for it
  if (open && !open.alive()) letGo();
  opened ??= openOne().catch((problem: unknown) => {
    opened = undefined;
    throw problem;
  });
  const mic = await opened;
  if (context?.state !== "running") await context?.resume();
  return mic;
}

/** Some browsers let sound begin only within a touch or a key: let it, if it is waited for. */
export function wake(): void {
  if (open && context?.state === "suspended") void context.resume();
}

/** Whether a recording or hands-free needs the microphone now. */
export const inUse = (): boolean => open?.used() ?? false;

/** Whether the builder has allowed the microphone for good, so that opening it asks nothing. */
export async function allowed(): Promise<boolean> {
  try {
    return (await navigator.permissions.query({ name: "microphone" })).state === "granted";
  } catch {
    return false; // this browser does not tell
  }
}

/** Close the microphone; the next recording opens it again. */
export function letGo(): void {
  open?.close();
  open = undefined;
  opened = undefined;
  void context?.suspend();
}

async function openOne(): Promise<Microphone> {
  const [stream, sound] = await Promise.all([stream16k(), loadAhead()]);
  open = tapped(stream, sound);
  return open;
}

function tapped(stream: MediaStream, sound: AudioContext): Microphone {
  const source = sound.createMediaStreamSource(stream);
  const tap = new AudioWorkletNode(sound, "tap", { numberOfInputs: 1, numberOfOutputs: 0, channelCount: 1 });
  const takers = new Map<number, (part: Part) => void>();
  tap.port.onmessage = ({ data }: MessageEvent<Part>) => takers.get(data.id)?.(data);
  source.connect(tap);
  const [track] = stream.getAudioTracks();
  let closed = false;
  const lost = (why: string) => () => closed || whenLost(why);
  track?.addEventListener("ended", lost("the microphone was taken away"));
  track?.addEventListener("mute", lost("another app took the microphone"));
  let last = 0;
  const ask = (asked: Asked): void => tap.port.postMessage(asked);
  return {
    moment: (performanceMs) => sound.currentTime - (performance.now() - performanceMs) / 1000,
    pageTime: (moment) => performance.now() - (sound.currentTime - moment) * 1000,
    alive: () => !closed && track?.readyState === "live" && sound.state !== "closed",
    used: () => takers.size > 0,
    listen: (from, take) => {
      const id = (last += 1);
      const ended = new Promise<void>((done) => {
        takers.set(id, ({ samples, at }) => (samples === null ? done() : take(samples, at)));
      });
      ask({ id, from });
      return async () => {
        ask({ id, from: null });
        await Promise.race([ended, new Promise((late) => setTimeout(late, 500))]);
        takers.delete(id);
      };
    },
    close: () => {
      closed = true;
      source.disconnect();
      ask({ id: ALL, from: null });
      tap.port.close();
      for (const each of stream.getTracks()) each.stop();
    },
  };
}

async function stream16k(): Promise<MediaStream> {
  if (!navigator.mediaDevices) {
    throw new NoMicrophone("this address is not trusted, so the browser gives no microphone; open the install page");
  }
  try {
    return await navigator.mediaDevices.getUserMedia({
      audio: { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: true },
    });
  } catch (problem) {
    const name = problem instanceof DOMException ? problem.name : "";
    throw new NoMicrophone(WHY[name] ?? `the microphone cannot be opened (${String(problem)})`);
  }
}
