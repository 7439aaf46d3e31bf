// A thin skin over soundswallower: words get sounds, an automaton becomes a search, samples become words.
// Its own `set_grammar` takes JSGF only, where each use of a rule is a copy; the functions that JSGF ends in
// are exported, so the automaton goes to them as it is.
import createModule from "soundswallower";
import type { Ears, Rival } from "../understand/messages";
import { type Arc, rivalsNet } from "./rivals";

interface Segment {
  t: string;
  b: number;
  d: number;
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
  get_text(): string;
  get_alignment(): { w?: Segment[] };
}

interface Module {
  HEAPU8: Uint8Array;
  HEAP32: Int32Array;
  Decoder: new (config: Record<string, unknown>) => Sphinx;
  _malloc(bytes: number): number;
  _free(at: number): void;
  _decoder_logmath(decoder: number): number;
  _decoder_hyp(decoder: number, score: number): number;
  _decoder_set_fsg(decoder: number, fsg: number): number;
  _fsg_model_init(name: number, logmath: number, weight: number, states: number): number;
  _fsg_model_word_add(fsg: number, word: number): number;
  _fsg_model_trans_add(fsg: number, from: number, to: number, log: number, word: number): void;
  _fsg_model_null_trans_add(fsg: number, from: number, to: number, log: number): number;
  _fsg_set_states(fsg: number, start: number, end: number): void;
}

export interface Path {
  words: { text: string; start: number; end: number }[];
  /** A natural logarithm, comparable between searches of one sound. */
  score: number;
}

const PHONES =
  "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split(" ");
const ONE_PHONE = (phone: string): string => `+${phone.toLowerCase()}`;
const PHONE_COST = -3;
/** Acoustic scores are whole steps of 1024 times the logarithm of 1.0001. */
const STEP = 1024 * Math.log(1.0001);
const LOG_BASE = Math.log(1.0001);
/** Wide beams, as on the shop computer; scores over all sounds, so that two searches can be compared. */
const SETTINGS = { loglevel: "FATAL", samprate: 16000, compallsen: true, beam: 1e-60, pbeam: 1e-60, wbeam: 1e-40 };

export class Engine {
  private readonly module: Module;
  private readonly sphinx: Sphinx;
  private readonly ears: Ears;

  private constructor(module: Module, sphinx: Sphinx, ears: Ears) {
    this.module = module;
    this.sphinx = sphinx;
    this.ears = ears;
  }

  static async open(base: string, ears: Ears): Promise<Engine> {
    const make = createModule as unknown as (options: { modelBase: string }) => Promise<Module>;
    const module = await make({ modelBase: base });
    const sphinx = new module.Decoder(SETTINGS);
    sphinx.unset_config("dict");
    await sphinx.initialize();
    const ways = Object.entries(ears.words).flatMap(([word, phones]) =>
      phones.map((way, at): [string, string] => [at ? `${word}(${at + 1})` : word, way]),
    );
    sphinx.add_words(...ways, ...PHONES.map((phone): [string, string] => [ONE_PHONE(phone), phone]));
    return new Engine(module, sphinx, ears);
  }

  /** Listen by the phrasebook. */
  listenByPhrases(): void {
    this.search(this.ears.states, this.ears.arcs, this.ears.finals, []);
  }

  /** Listen by any phones in any order: how well the sound fits speech in general. */
  listenByPhones(): void {
    this.search(1, PHONES.map((phone) => [0, 0, ONE_PHONE(phone), PHONE_COST]), [0], []);
  }

  /** Listen by what was heard, with one of the rivals in its place, and by nothing else. */
  listenByRivals(texts: readonly string[], rivals: readonly Rival[]): void {
    const net = rivalsNet(texts, rivals);
    this.search(net.states, net.arcs, net.finals, net.joins);
  }

  /** The best whole sentence; undefined where the sound fits none. */
  path(samples: Float32Array): Path | undefined {
    this.sphinx.start();
    this.sphinx.process_audio(samples, false, true);
    this.sphinx.stop();
    const at = this.module._malloc(4);
    const best = this.module._decoder_hyp(this.sphinx.cdecoder, at);
    const score = (this.module.HEAP32[at >> 2] ?? 0) * STEP;
    this.module._free(at);
    if (best === 0 || this.sphinx.get_text() === "") return undefined;
    const spoken = (this.sphinx.get_alignment().w ?? []).filter((segment) => !/^[<([]/.test(segment.t));
    const words = spoken.map(({ t, b, d }) => ({ text: t.replace(/\(\d+\)$/, ""), start: b, end: b + d }));
    return { words, score };
  }

  /** States are numbered from 0, where a sentence begins; it may end in each of `finals`; `joins` take no word. */
  private search(
    states: number,
    arcs: readonly Arc[],
    finals: readonly number[],
    joins: readonly (readonly [number, number])[],
  ): void {
    const m = this.module;
    const logmath = m._decoder_logmath(this.sphinx.cdecoder);
    const fsg = this.withText("search", (name) =>
      m._fsg_model_init(name, logmath, this.sphinx.get_config("lw"), states + 1),
    );
    const known = new Map<string, number>();
    for (const [from, to, word, log] of arcs) {
      const id = known.get(word) ?? this.withText(word, (text) => m._fsg_model_word_add(fsg, text));
      known.set(word, id);
      m._fsg_model_trans_add(fsg, from, to, Math.round((log ?? 0) / LOG_BASE), id);
    }
    for (const [from, to] of joins) m._fsg_model_null_trans_add(fsg, from, to, 0);
    for (const final of finals) m._fsg_model_null_trans_add(fsg, final, states, 0);
    m._fsg_set_states(fsg, 0, states);
    if (m._decoder_set_fsg(this.sphinx.cdecoder, fsg) < 0) throw new Error("the engine does not take the grammar");
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
