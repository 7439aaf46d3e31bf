// Hears a note by the phrasebook, says whether it was speech of the phrasebook at all, and what else each
// number, side or name may have been. What speech/sphinx.py does on the shop computer.
import type { Ears, Rival } from "../understand/messages";
import { accepts } from "./accepting";
import { inBothAccents, sentenceNet, spokenWords } from "./accents";
import { conditioned, loudOverQuietDb } from "./condition";
import { Decoder, type Path, answerFor, engine } from "./engine";
import { type Judged, isStrange, mayBeClose, strangeWords, wordsOf } from "./judging";
import type { Hearing } from "./messages";
import { instead, rivalsNet } from "./rivals";

const ENGINE = "soundswallower en-us";
const RATE = 16_000;
const SHORTEST = 1600;
/** Measured on the shop computer: steady noise 0 to 3.1, speech at 5 dB from 4.2 on; below is no speech. */
const LEAST_OVER_NOISE_DB = 3.2;
const A_GUESS = "0.30";
const PHONES =
  "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split(" ");
const FREE = [...PHONES.map((phone) => `+${phone.toLowerCase()}+`), "<sil>", "[NOISE]"];

export class Listener {
  private readonly ears: Ears;
  private readonly phrases: Decoder;
  private readonly phones: Decoder;
  private readonly rivals: Decoder;
  private sound: Float32Array<ArrayBuffer> = new Float32Array(0);
  private path: Path | undefined;
  private free: Path | undefined;

  private constructor(ears: Ears, phrases: Decoder, phones: Decoder, rivals: Decoder) {
    this.ears = ears;
    this.phrases = phrases;
    this.phones = phones;
    this.rivals = rivals;
  }

  static async open(base: string, ears: Ears, means?: ArrayBuffer): Promise<Listener> {
    const module = await engine(base);
    const voice = means ? { mean: answerFor(means) } : {};
    const words = spokenWords(ears.words);
    const phrases = await Decoder.words(module, voice);
    const rivals = await Decoder.words(module, voice);
    phrases.learn(words);
    rivals.learn(words);
    phrases.listenBy(inBothAccents({ ...ears, joins: [] }));
    return new Listener(ears, phrases, await Decoder.phones(module, base, FREE, voice), rivals);
  }

  hear(samples: Int16Array): Hearing {
    const seconds = samples.length / RATE;
    this.path = this.free = undefined;
    if (samples.length < SHORTEST || loudOverQuietDb(samples) < LEAST_OVER_NOISE_DB) return this.uncovered(seconds);
    this.sound = conditioned(samples);
    this.path = this.phrases.path(this.sound);
    this.free = this.phones.path(this.sound);
    const texts = this.path?.spoken.map(({ text }) => text) ?? [];
    if (!this.path || !accepts(this.ears, texts) || isStrange(this.path, this.free)) return this.uncovered(seconds);
    return { engine: ENGINE, covered: true, seconds: seconds.toFixed(2), words: this.words([]), alternatives: [], remarks: [] };
  }

  /** The hearing with a runner-up on each stretch that could have been something else. */
  weigh(hearing: Hearing, rivals: readonly Rival[]): Hearing {
    const texts = hearing.words.map((word) => word.text);
    if (!this.path || !hearing.covered) return hearing;
    const best = this.by(() => this.rivals.listenBy(inBothAccents(sentenceNet(texts)))) ?? this.path;
    const found: Judged[] = [];
    let left = [...rivals];
    while (mayBeClose(left, found.at(-1)?.margin ?? -Infinity)) {
      const other = this.by(() => this.rivals.listenBy(inBothAccents(rivalsNet(texts, left))));
      const there = other && instead(texts, left, other.spoken.map(({ text }) => text));
      if (!other || !there) break;
      found.push({ rival: there.rival, words: there.other, margin: best.score - other.score });
      left = left.filter((each) => each !== there.rival);
    }
    return { ...hearing, words: this.words(found) };
  }

  private by(listen: () => void): Path | undefined {
    listen();
    return this.rivals.path(this.sound);
  }

  private words(found: readonly Judged[]): Hearing["words"] {
    const path = this.path;
    return path ? wordsOf(path.spoken, found, strangeWords(path, this.free, this.ears.numbers)) : [];
  }

  /** What was heard is none of the phrasebook: its words are a guess, good for finding the note again. */
  private uncovered(seconds: number): Hearing {
    const words = this.words([]).map((word) => ({ ...word, confidence: A_GUESS }));
    return { engine: ENGINE, covered: false, seconds: seconds.toFixed(2), words, alternatives: [], remarks: [] };
  }
}
