// Searches a note: by the phrasebook, by free phones, and by what else each number, side or name may have been.
// How far what it finds is to be trusted is core's to say. What speech/sphinx.py does on the shop computer.
import type { Ears } from "../understand/messages";
import { inBothAccents, sentenceNet, spokenWords } from "./accents";
import { conditioned, loudOverQuietDb } from "./condition";
import { Decoder, type Net, type Path, type Voice, engine } from "./engine";
import type { Against, Searched, Sounded, Weighed } from "./messages";
import { instead, rivalsNet } from "./rivals";

const ENGINE = "soundswallower en-us";
const RATE = 16_000;
const SHORTEST = 1600;
/** Measured on the shop computer: steady noise 0 to 3.1, speech at 5 dB from 4.2 on; below is no speech. */
const LEAST_OVER_NOISE_DB = 3.2;
/** As core/judging.py has it: behind the first rival that lies this far back none is looked for. */
const FURTHEST = 80;
/** So that a rival which is no farther behind than that is not lost on the way (1e-60 lost one 81 behind). */
const AS_FAR_AS = { wbeam: 1e-80 };
/** How long weighing may take: of the note's length, and never less than these seconds. */
const WITHIN = { share: 1, least: 1 };
const PHONES =
  "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split(" ");
const FREE = [...PHONES.map((phone) => `+${phone.toLowerCase()}+`), "<sil>", "[NOISE]"];

export class Listener {
  private readonly phrases: Decoder;
  private readonly phones: Decoder;
  private readonly rivals: Decoder;
  private readonly name: string;
  private readonly learnt: boolean;
  private sound: Float32Array<ArrayBuffer> = new Float32Array(0);
  private path: Path | undefined;

  private constructor(phrases: Decoder, phones: Decoder, rivals: Decoder, name: string, learnt: boolean) {
    this.phrases = phrases;
    this.phones = phones;
    this.rivals = rivals;
    this.name = name;
    this.learnt = learnt;
  }

  /** `learnt`: the voice is known so well that numbers which sound alike are told apart. */
  static async open(base: string, ears: Ears, voice: Voice = {}, learnt = voice.mean !== undefined): Promise<Listener> {
    const module = await engine(base);
    const words = spokenWords(ears.words);
    const phrases = await Decoder.words(module, voice);
    const rivals = await Decoder.words(module, voice, AS_FAR_AS);
    phrases.learn(words);
    rivals.learn(words);
    phrases.listenBy(inBothAccents({ ...ears, joins: [] }));
    const name = voice.mean === undefined ? ENGINE : `${ENGINE}, voice learnt`;
    return new Listener(phrases, await Decoder.phones(module, base, FREE, voice), rivals, name, learnt);
  }

  hear(samples: Int16Array): Sounded {
    const isSpeech = samples.length >= SHORTEST && loudOverQuietDb(samples) >= LEAST_OVER_NOISE_DB;
    this.sound = isSpeech ? conditioned(samples) : new Float32Array(0);
    this.path = isSpeech ? this.phrases.path(this.sound) : undefined;
    const phones = this.path && this.phones.path(this.sound);
    return {
      engine: this.name, learnt: this.learnt, seconds: samples.length / RATE,
      path: this.path?.pieces ?? null, phones: phones?.pieces ?? null,
    };
  }

  /** The closest rival of each place, as far as they could be asked about and there is time. */
  weigh({ texts, rivals, likely }: Against, now: () => number = () => performance.now() / 1000): Weighed {
    const until = now() + Math.max(WITHIN.least, (WITHIN.share * this.sound.length) / RATE);
    const best = (this.search(sentenceNet(texts)) ?? this.path)?.score ?? 0;
    const found: Weighed["found"] = [];
    const closest = (of: "rivals" | "likely", from: readonly Searched[], all: readonly Searched[]): Searched | undefined => {
      const other = this.search(rivalsNet(texts, from));
      const there = other && instead(texts, from, other.spoken.map(({ text }) => text));
      if (!other || !there) return undefined;
      found.push({ of, at: all.indexOf(there.rival), words: there.other, margin: best - other.score });
      return there.rival;
    };
    if (likely.length > 0) closest("likely", likely, likely);
    let left = [...rivals];
    const mayBeAsked = (behind: number): Searched[] => left.filter(({ reach }) => behind < Math.min(reach, FURTHEST));
    let open = mayBeAsked(-Infinity);
    while (open.length > 0) {
      if (now() > until) return { found, left: open.map((each) => rivals.indexOf(each)) };
      const nearest = closest("rivals", open, rivals);
      if (!nearest) break;
      left = left.filter((each) => each !== nearest);
      open = mayBeAsked(found.at(-1)?.margin ?? Infinity);
    }
    return { found, left: [] };
  }

  private search(net: Net): Path | undefined {
    this.rivals.listenBy(inBothAccents(net));
    return this.rivals.path(this.sound);
  }
}
