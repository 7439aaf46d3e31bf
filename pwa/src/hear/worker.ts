// Hears a note by the phrasebook, says whether it was speech of the phrasebook at all, and what else each
// number, side or name may have been.
import type { Rival } from "../understand/messages";
import { conditioned } from "./condition";
import { Engine, type Path } from "./engine";
import type { Answer, Hearing, Question } from "./messages";

const ENGINE = "soundswallower en-us";
const RATE = 16_000;
const SHORTEST = 1600;
/**
 * How much worse than any phones in any order the phrasebook may fit, in natural logarithms a second of speech.
 * Set on 70 phrases and 10 of foreign talk at 20 dB, four synthesised voices: 9 of the 10 foreign ones fall
 * out by this or fit no sentence at all, and so do 5 of the 52 phrases that were heard right.
 */
const LEAST_FIT = -125;
/** A rival that comes as near as this, in the same unit, is a doubt: a number is doubted sooner than a name. */
const CLOSE = { number: 12, name: 4 };
const CLEAR = "0.95";
const FAINT = "0.60";

let engine: Engine | undefined;
let sound: Float32Array<ArrayBuffer> = new Float32Array(0);
let best = 0;
let spoken = 1;

async function answered(question: Question): Promise<Hearing | null> {
  switch (question.name) {
    case "open":
      engine = await Engine.open(__EAR__, question.ears);
      engine.listenByPhrases();
      return null;
    case "hear":
      return heard(need(), question.samples);
    case "weigh":
      return weighed(need(), question.hearing, question.rivals);
  }
}

function need(): Engine {
  if (!engine) throw new Error("the engine is not loaded");
  return engine;
}

function heard(engine: Engine, samples: Int16Array): Hearing {
  const seconds = samples.length / RATE;
  if (samples.length < SHORTEST) return hearing(undefined, seconds, false);
  sound = conditioned(samples);
  const path = engine.path(sound);
  if (!path) return hearing(undefined, seconds, false);
  best = path.score;
  spoken = Math.max(0.3, (path.words.at(-1)?.end ?? 0) - (path.words[0]?.start ?? 0));
  engine.listenByPhones();
  const any = engine.path(sound);
  engine.listenByPhrases();
  return hearing(path, seconds, !any || (path.score - any.score) / spoken > LEAST_FIT);
}

function hearing(path: Path | undefined, seconds: number, covered: boolean): Hearing {
  const confidence = covered ? CLEAR : FAINT;
  return {
    engine: ENGINE,
    covered,
    seconds: seconds.toFixed(2),
    words: (path?.words ?? []).map(({ text, start, end }) => ({
      text, start: start.toFixed(2), end: end.toFixed(2), confidence, runner_up: "",
    })),
    alternatives: [],
    remarks: [],
  };
}

/** The hearing with a runner-up on the first word of each stretch that could have been something else. */
function weighed(engine: Engine, hearing: Hearing, rivals: readonly Rival[]): Hearing {
  const words = hearing.words.map((word) => ({ ...word }));
  const alternatives = [...hearing.alternatives];
  const texts = words.map((word) => word.text);
  for (const { start, end, others, number } of rivals) {
    engine.listenByRivals(texts.slice(0, start), others, texts.slice(end));
    const rival = engine.path(sound);
    const margin = rival ? (best - rival.score) / spoken : Infinity;
    if (!rival || margin >= (number ? CLOSE.number : CLOSE.name)) continue;
    const said = rival.words.map((word) => word.text);
    const other = said.slice(start, said.length - (texts.length - end)).join(" ") || "nothing";
    mark(words, start, end, other);
    alternatives.push({ text: said.join(" "), margin: Math.max(0, margin).toFixed(1) });
  }
  engine.listenByPhrases();
  return { ...hearing, words, alternatives };
}

/** Put the other words beside the heard ones, one to one as far as that goes, the rest on the last. */
function mark(words: Hearing["words"], start: number, end: number, other: string): void {
  const rest = other.split(" ");
  for (let at = start; at < end; at++) {
    const word = words[at];
    if (!word) continue;
    const mine = at === end - 1 ? rest.splice(0).join(" ") : (rest.shift() ?? "");
    word.confidence = FAINT;
    word.runner_up = mine === word.text ? "" : mine;
  }
}

let turn = Promise.resolve();
addEventListener("message", ({ data }: MessageEvent<Question>) => {
  turn = turn.then(async () => {
    const from = performance.now();
    let answer: Answer;
    try {
      const gives = await answered(data);
      answer = { id: data.id, gives, took: performance.now() - from };
    } catch (problem) {
      answer = { id: data.id, wrong: problem instanceof Error ? problem.message : String(problem) };
    }
    postMessage(answer);
  });
});
