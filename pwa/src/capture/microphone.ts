// One microphone a session: asked for once, kept open while the app is in use, watched for being taken away.
import tapUrl from "./tap.ts?worker&url";
import { RATE } from "../keep/media";

export class NoMicrophone extends Error {}

export interface Microphone {
  readonly context: AudioContext;
  /** Begin to hand samples to `take`; the returned function stops, after the last samples were handed over. */
  listen(take: (part: Int16Array<ArrayBuffer>) => void): () => Promise<void>;
  /** Whether sound can still come in. */
  alive(): boolean;
}

const WHY: Record<string, string> = {
  NotAllowedError: "the microphone is not allowed for this page; allow it in the browser's settings for this site",
  NotFoundError: "no microphone was found on this phone",
  NotReadableError: "another app holds the microphone; end it there, then try again",
};

let opened: Promise<Microphone> | undefined;
let whenLost: (why: string) => void = () => undefined;

/** Called when sound stops coming in: another app took the microphone, or the right to it ended. */
export function onLost(tell: (why: string) => void): void {
  whenLost = tell;
}

/** The session's microphone; NoMicrophone says why there is none and what to do. */
export function microphone(): Promise<Microphone> {
  opened ??= open().catch((problem: unknown) => {
    opened = undefined;
    throw problem;
  });
  return opened.then(async (mic) => {
    if (!mic.alive()) {
      opened = undefined;
      return microphone();
    }
    if (mic.context.state !== "running") await mic.context.resume();
    return mic;
  });
}

/** Open it ahead of the first touch, where the builder has allowed it before; nothing is recorded by that. */
export async function warmUp(): Promise<void> {
  try {
    const right = await navigator.permissions.query({ name: "microphone" as PermissionName });
    if (right.state === "granted") await microphone();
  } catch {
    // not asked for here: the first touch opens it
  }
}

async function open(): Promise<Microphone> {
  const stream = await stream16k();
  const context = new AudioContext({ sampleRate: RATE });
  await context.audioWorklet.addModule(tapUrl);
  const source = context.createMediaStreamSource(stream);
  const [track] = stream.getAudioTracks();
  track?.addEventListener("ended", () => whenLost("the microphone was taken away"));
  track?.addEventListener("mute", () => whenLost("another app took the microphone"));
  return {
    context,
    alive: () => track?.readyState === "live" && context.state !== "closed",
    listen: (take) => {
      const tap = new AudioWorkletNode(context, "tap", { numberOfInputs: 1, numberOfOutputs: 0, channelCount: 1 });
      const ended = new Promise<void>((done) => {
        tap.port.onmessage = ({ data }: MessageEvent<Int16Array<ArrayBuffer> | null>) => {
          if (data === null) done();
          else take(data);
        };
      });
      source.connect(tap);
      return async () => {
        tap.port.postMessage("end");
        await Promise.race([ended, new Promise((late) => setTimeout(late, 500))]);
        source.disconnect(tap);
      };
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
