// The page's side of the worker that hears. If the phone is too small for the engine, this says so; recording
// does not depend on it.
import type { Ears } from "../understand/messages";
import type { Mind } from "../understand/mind";
import { asking } from "../work/asking";
import type { Gives, Hearing, Question, VoiceFile } from "./messages";

export class NoHearing extends Error {}

export interface Ear {
  /** What is heard in a note that was begun at `at` (RFC 3339), with what else it may have been. */
  hear(samples: Int16Array<ArrayBuffer>, mind: Mind, at: string): Promise<Hearing>;
  close(): void;
}

type Asked = Question extends infer Q ? (Q extends { id: number } ? Omit<Q, "id"> : never) : never;

/** Load the engine; NoHearing if it does not load or breaks down. */
export async function ear(ears: Ears, voice?: VoiceFile): Promise<Ear> {
  const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
  const asked = asking<Asked>(worker, (why) => new NoHearing(why), "the engine broke down");
  const ask = <Q extends Asked>(question: Q) => asked(question) as Promise<Gives[Q["name"]]>;
  try {
    await ask({ name: "open", ears, voice });
  } catch (problem) {
    worker.terminate();
    throw problem;
  }
  return {
    hear: async (samples, mind, at) => {
      const against = await mind.ask("sounded", await ask({ name: "hear", samples }), at);
      return against.hearing ?? mind.ask("weighed", await ask({ name: "weigh", against }));
    },
    close: () => worker.terminate(),
  };
}
