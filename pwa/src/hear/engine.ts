// A thin skin over soundswallower: words get sounds, an automaton becomes a search, samples become scored words.
// Its own `set_grammar` takes JSGF only, where each use of a rule is a copy; the functions that JSGF ends in
// are exported, so the automaton goes to them as it is.
import createModule from "soundswallower";

/** From a state to another by a word; its cost is the natural logarithm of a probability, 0 if left out. */
export type Arc = [from: number, to: number, word: string, cost?: number];

/** States are numbered from 0, where a sentence begins and which no arc leads back to; `joins` take no word. */
export interface Net {
  states: number;
  arcs: Arc[];
  ends: [state: number, cost: number][];
  joins: [from: number, to: number][];
}

/** One word or phone: its first frame, the frame after its last, and how well it fits (natural logarithm). */
export interface Piece {
  text: string;
  start: number;
  end: number;
  score: number;
}

/** Scores of different searches over one sound can be compared. */
export interface Path {
  pieces: Piece[];
  /** The pieces that are words. */
  spoken: Piece[];
  score: number;
}

interface Sphinx {
  cdecoder: number;
  initialize(): Promise<void>;
  unset_config(name: string): void;
  get_config(name: string): number;
  add_words(...words: [string, string][]): void;
  start(): void;
  stop(): void;
  process_audio(samples: Float32Array, noSearch: boolean, whole: boolean): number;
}

export interface Module {
  HEAPU8: Uint8Array;
  HEAP32: Int32Array;
  Decoder: new (config: Record<string, unknown>) => Sphinx;
  _malloc(bytes: number): number;
  _free(at: number): void;
  _decoder_logmath(decoder: number): number;
  _decoder_hyp(decoder: number, score: number): number;
  _decoder_seg_iter(decoder: number): number;
  _seg_iter_next(segment: number): number;
  _seg_iter_word(segment: number): number;
  _seg_iter_frames(segment: number, first: number, last: number): void;
  _decoder_set_fsg(decoder: number, fsg: number): number;
  _fsg_model_init(name: number, logmath: number, weight: number, states: number): number;
  _fsg_model_word_add(fsg: number, word: number): number;
  _fsg_model_trans_add(fsg: number, from: number, to: number, log: number, word: number): void;
  _fsg_model_null_trans_add(fsg: number, from: number, to: number, log: number): number;
  _fsg_set_states(fsg: number, start: number, end: number): void;
}

/** Where the means of a learnt voice are, for those of the model. */
export type Voice = { mean?: string };

const MODEL = "en-us";
const FRAMES_AHEAD = 1;
/** Acoustic scores are whole steps of 1024 times the logarithm of 1.0001. */
const LOG_BASE = Math.log(1.0001);
const STEP = 1024 * LOG_BASE;
/** Where a segment keeps its first frame, its last one and its score, in words of four bytes. */
const SEGMENT = { first: 3, last: 4, score: 5 };
/** As on the shop computer (speech/sphinx.py, speech/decoder.py): wide beams, scores over all sounds. */
const SETTINGS = { loglevel: "FATAL", samprate: 16000, compallsen: true, bestpath: false, beam: 1e-80, pbeam: 1e-80, wbeam: 1e-60, wip: 0.1 };
/** Any phones in any order: they stand in for the noises of a word list of their own, and joining them is free. */
const PHONES = { fdict: "phones.txt", fsgusefiller: false, wip: 1 };
const OWN_NAME = /(?:@gb)?(?:\(\d+\))?$/;

/** The engine's code; what it needs of a model lies under `base`. */
export const engine = (base: string): Promise<Module> =>
  (createModule as unknown as (options: { modelBase: string }) => Promise<Module>)({ modelBase: base });

/** The engine reads its files by address; a learnt voice's means have none, so this worker answers for them. */
export function answerFor(means: ArrayBuffer): string {
  const address = new URL(`voice-${means.byteLength}.means`, location.href).href;
  const others = globalThis.fetch.bind(globalThis);
  globalThis.fetch = (asked, options) =>
    asked === address ? Promise.resolve(new Response(means)) : others(asked, options);
  return address;
}

/** One search at a time over one sound at a time. */
export class Decoder {
  private readonly module: Module;
  private readonly sphinx: Sphinx;

  private constructor(module: Module, sphinx: Sphinx) {
    this.module = module;
    this.sphinx = sphinx;
  }

  /** One that hears words, once they are learnt. */
  static words(module: Module, voice: Voice, more: { wbeam?: number } = {}): Promise<Decoder> {
    return Decoder.open(module, { ...SETTINGS, ...voice, ...more });
  }

  /** One that takes any phones in any order: the best that a sound can score. */
  static async phones(module: Module, base: string, phones: readonly string[], voice: Voice): Promise<Decoder> {
    const decoder = await Decoder.open(module, { ...SETTINGS, ...PHONES, ...voice, fdict: `${base}${MODEL}/${PHONES.fdict}` });
    decoder.listenBy({ states: 1, arcs: phones.map((phone) => [0, 0, phone]), ends: [[0, 0]], joins: [] });
    return decoder;
  }

  private static async open(module: Module, settings: Record<string, unknown>): Promise<Decoder> {
    const sphinx = new module.Decoder(settings);
    sphinx.unset_config("dict");
    await sphinx.initialize();
    return new Decoder(module, sphinx);
  }

  /** Each word with the phones of each way to say it. */
  learn(words: readonly (readonly [word: string, ways: readonly string[]])[]): void {
    this.sphinx.add_words(
      ...words.flatMap(([word, ways]) => ways.map((way, at): [string, string] => [at ? `${word}(${at + 1})` : word, way])),
    );
  }

  listenBy({ states, arcs, ends, joins }: Net): void {
    const m = this.module;
    const logmath = m._decoder_logmath(this.sphinx.cdecoder);
    const fsg = this.withText("search", (name) => m._fsg_model_init(name, logmath, this.sphinx.get_config("lw"), states + 1));
    const known = new Map<string, number>();
    for (const [from, to, word, cost] of arcs) {
      const id = known.get(word) ?? this.withText(word, (text) => m._fsg_model_word_add(fsg, text));
      known.set(word, id);
      m._fsg_model_trans_add(fsg, from, to, Math.round((cost ?? 0) / LOG_BASE), id);
    }
    for (const [from, to] of joins) m._fsg_model_null_trans_add(fsg, from, to, 0);
    for (const [state, cost] of ends) m._fsg_model_null_trans_add(fsg, state, states, Math.round(cost / LOG_BASE));
    m._fsg_set_states(fsg, 0, states);
    if (m._decoder_set_fsg(this.sphinx.cdecoder, fsg) < 0) throw new Error("the engine does not take the grammar");
  }

  /** The best path, which may end in mid sentence where noise kept every whole one from the end; undefined for none. */
  path(samples: Float32Array): Path | undefined {
    this.sphinx.start();
    this.sphinx.process_audio(samples, false, true);
    this.sphinx.stop();
    const at = this.module._malloc(8);
    const best = this.module._decoder_hyp(this.sphinx.cdecoder, at);
    const score = (this.module.HEAP32[at >> 2] ?? 0) * STEP;
    const pieces = best === 0 ? [] : [...this.segments(at)];
    this.module._free(at);
    const spoken = pieces.filter(({ text }) => !/^[<[+(]/.test(text));
    return pieces.length ? { pieces, spoken, score } : undefined;
  }

  private *segments(at: number): Generator<Piece> {
    const m = this.module;
    for (let segment = m._decoder_seg_iter(this.sphinx.cdecoder); segment !== 0; segment = m._seg_iter_next(segment)) {
      m._seg_iter_frames(segment, at, at + 4);
      const [first, last] = [m.HEAP32[at >> 2] ?? 0, m.HEAP32[(at >> 2) + 1] ?? 0];
      const own = (field: number): number => m.HEAP32[(segment >> 2) + field] ?? 0;
      if (own(SEGMENT.first) !== first || own(SEGMENT.last) !== last) throw new Error("this engine keeps its scores elsewhere");
      const text = this.text(m._seg_iter_word(segment)).replace(OWN_NAME, "");
      yield { text, start: Math.max(0, first), end: last + FRAMES_AHEAD, score: own(SEGMENT.score) * STEP };
    }
  }

  private text(at: number): string {
    const end = this.module.HEAPU8.indexOf(0, at);
    return new TextDecoder().decode(this.module.HEAPU8.slice(at, end));
  }

  private withText<T>(text: string, use: (at: number) => T): T {
    const bytes = new TextEncoder().encode(`${text}\0`);
    const at = this.module._malloc(bytes.length);
    this.module.HEAPU8.set(bytes, at);
    const made = use(at);
    this.module._free(at);
    return made;
  }
}
