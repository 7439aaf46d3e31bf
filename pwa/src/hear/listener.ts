// Hears a note by the phrasebook, says whether it was speech of the phrasebook at all, and what else each
// number, side or name may have been.
import type { Ears, Rival } from "../understand/messages";
import { conditioned } from "./condition";
import { Engine, type Path } from "./engine";
import type { Hearing } from "./messages";
import { beside, instead } from "./rivals";

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

export class Listener {
  private readonly engine: Engine;
  private sound: Float32Array<ArrayBuffer> = new Float32Array(0);
  private best = 0;
  private spoken = 1;

  private constructor(engine: Engine) {
    this.engine = engine;
  }

  static async open(base: string, ears: Ears): Promise<Listener> {
    const engine = await Engine.open(base, ears);
    engine.listenByPhrases();
    return new Listener(engine);
  }

  hear(samples: Int16Array): Hearing {
    const seconds = samples.length / RATE;
    if (samples.length < SHORTEST) return hearing(undefined, seconds, false);
    this.sound = conditioned(samples);
    const path = this.engine.path(this.sound);
    if (!path) return hearing(undefined, seconds, false);
    this.best = path.score;
    this.spoken = Math.max(0.3, (path.words.at(-1)?.end ?? 0) - (path.words[0]?.start ?? 0));
    this.engine.listenByPhones();
    const any = this.engine.path(this.sound);
    this.engine.listenByPhrases();
    return hearing(path, seconds, !any || (path.score - any.score) / this.spoken > LEAST_FIT);
  }

  /** The hearing with a runner-up on each stretch that could have been something else. */
  weigh(hearing: Hearing, rivals: readonly Rival[]): Hearing {
    const words = hearing.words.map((word) => ({ ...word }));
    const alternatives = [...hearing.alternatives];
    const texts = words.map((word) => word.text);
    let left = [...rivals];
    while (left.length > 0) {
      this.engine.listenByRivals(texts, left);
      const path = this.engine.path(this.sound);
      const said = path?.words.map((word) => word.text) ?? [];
      const found = instead(texts, left, said);
      const margin = path ? (this.best - path.score) / this.spoken : Infinity;
      if (!found || margin >= CLOSE.number) break;
      left = left.filter((each) => each !== found.rival);
      if (margin >= (found.rival.number ? CLOSE.number : CLOSE.name)) continue;
      mark(words, found.rival, found.other);
      alternatives.push({ text: said.join(" "), margin: Math.max(0, margin).toFixed(1) });
    }
    this.engine.listenByPhrases();
    return { ...hearing, words, alternatives };
  }
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

/** Put the other words beside the heard ones. */
function mark(words: Hearing["words"], { start, end }: Rival, other: readonly string[]): void {
  const between = words.slice(start, end);
  const others = beside(between.map((word) => word.text), other);
  between.forEach((word, at) => {
    word.confidence = FAINT;
    word.runner_up = others[at] ?? "";
  });
}
