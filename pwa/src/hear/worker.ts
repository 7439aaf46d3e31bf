// The worker that hears: one question, one answer, in turn.
import { answerFor } from "./engine";
import { Listener } from "./listener";
import type { Answer, Gives, Question } from "./messages";

let listener: Listener | undefined;

async function answered(question: Question): Promise<Gives[keyof Gives]> {
  if (question.name === "open") {
    const { ears, voice } = question;
    listener = await Listener.open(__EAR__, ears, voice ? { mean: answerFor(voice.means) } : {}, voice?.readAloud ?? false);
    return null;
  }
  if (!listener) throw new Error("the engine is not loaded");
  return question.name === "hear" ? listener.hear(question.samples) : listener.weigh(question.against);
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
