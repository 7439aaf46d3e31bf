// Hears with Vosk and a model of the shop computer's, by the sentences of the phrasebook first, freely where none
// fits. Loading has a deadline of its own: the engine says nothing about a model that does not come.
import { VoskClient } from "@lichess-org/vosk-browser/dist/vosk.wasm.js";
import type { Ears, Rival } from "../understand/messages";
import { accepts } from "./accepting";
import { type Ear, NoHearing } from "./ear";
import type { Hearing, Word } from "./messages";
import { type Model, unpacked } from "./offer";
import { archiveOf } from "./pieces";

const RATE = 16_000;
const LOADED_WITHIN_MS = 180_000;
const CHUNK = RATE;
const FAINT = "0.60";

interface Said {
  word: string;
  start: number;
  end: number;
  conf: number;
}

/** Load the engine and the model; NoHearing says why it does not load. */
export async function voskEar(model: Model, ears: Ears, sentences: readonly string[]): Promise<Ear> {
  const client = await loaded(model);
  if (!model.unpacked) await unpacked(model);
  const lacks = new Set(model.lacks);
  const sayable = sentences.filter((sentence) => !sentence.split(" ").some((word) => lacks.has(word)));
  const phrases = JSON.stringify([...new Set(sayable), "[unk]"]);
  const remarks = lacks.size > 0 ? [`the model vosk ${model.name} has no word for: ${[...lacks].sort().join(", ")}; it cannot hear them`] : [];
  return {
    hear: async (samples, mind) => {
      const sound = Float32Array.from(samples, (sample) => sample / 32768);
      const by = sayable.length > 0 ? await run(client, sound, phrases) : [];
      const covered = accepts(ears, by.map((each) => each.word));
      const words = covered ? by : await run(client, sound);
      const texts = words.map((each) => each.word);
      const heard = { ...hearing(model, words, samples.length / RATE, covered || accepts(ears, texts)), remarks };
      return heard.covered ? weighed(client, sound, heard, await mind.ask("rivals", texts.join(" "))) : heard;
    },
    close: () => client.terminate(),
  };
}

function loaded(model: Model): Promise<VoskClient> {
  return new Promise((done, fail) => {
    const client = new VoskClient({
      modelUrl: archiveOf(model.address), workerUrl: `${__VOSK__}vosk.worker.js`, wasmUrl: `${__VOSK__}vosk.wasm`, logLevel: -2,
    });
    /** Its worker ends, and with it all the memory that it took. */
    const giveUp = (why: string): void => {
      clearTimeout(late);
      client.terminate();
      fail(new NoHearing(why));
    };
    const late = setTimeout(() => giveUp(`the model ${model.name} did not load in time`), LOADED_WITHIN_MS);
    client.on("load", (message) => {
      clearTimeout(late);
      if ("result" in message && message.result) done(client);
      else giveUp(`the model ${model.name} is damaged`);
    });
    client.on("error", (message) => {
      const told = ("error" in message && message.error) || `the model ${model.name} is damaged`;
      giveUp(/memory|allocat/i.test(told) ? "this phone has too little memory for it" : told);
    });
  });
}

/** One pass over the sound, by a list of sentences or freely. */
function run(client: VoskClient, sound: Float32Array<ArrayBuffer>, phrases?: string): Promise<Said[]> {
  return new Promise((done, fail) => {
    const recogniser = new client.KaldiRecognizer(RATE, phrases);
    const words: Said[] = [];
    let waits = Math.ceil(sound.length / CHUNK) + 1;
    const answered = (said: readonly Said[]): void => {
      words.push(...said);
      waits -= 1;
      if (waits > 0) return;
      recogniser.remove();
      done(words.filter((each) => each.word !== "[unk]"));
    };
    recogniser.on("result", (message) => answered(("result" in message && "result" in message.result && message.result.result) || []));
    recogniser.on("partialresult", () => answered([]));
    recogniser.on("error", (message) => fail(new NoHearing("error" in message ? message.error : "the engine broke down")));
    recogniser.setWords(true);
    for (let from = 0; from < sound.length; from += CHUNK) {
      recogniser.acceptWaveformFloat(sound.slice(from, from + CHUNK), RATE);
    }
    recogniser.retrieveFinalResult();
  });
}

function hearing(model: Model, said: readonly Said[], seconds: number, covered: boolean): Hearing {
  const words = said.map(({ word, start, end, conf }): Word => ({
    text: word, start: start.toFixed(2), end: end.toFixed(2), confidence: Math.min(1, conf).toFixed(2), runner_up: "",
  }));
  return { engine: `vosk ${model.name}`, covered, seconds: seconds.toFixed(2), words, alternatives: [], remarks: [] };
}

/** Where the sound, given the choice between the heard words and each rival, takes a rival, that is a doubt. */
async function weighed(client: VoskClient, sound: Float32Array<ArrayBuffer>, heard: Hearing, rivals: readonly Rival[]): Promise<Hearing> {
  const words = heard.words.map((word) => ({ ...word }));
  const texts = words.map((word) => word.text);
  for (const { start, end, others } of rivals) {
    const here = texts.slice(start, end).join(" ");
    const whole = (other: string): string => [...texts.slice(0, start), other, ...texts.slice(end)].filter(Boolean).join(" ");
    const found = (await run(client, sound, JSON.stringify([here, ...others].map(whole)))).map((each) => each.word).join(" ");
    const other = others.find((each) => whole(each) === found);
    const word = words[start];
    if (other === undefined || !word) continue;
    word.confidence = FAINT;
    word.runner_up = other || "nothing";
  }
  return { ...heard, words };
}
