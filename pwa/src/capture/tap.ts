// Runs in the audio thread: remembers the last two seconds of 16 kHz samples, and hands them over from whatever
// moment a listener asks for, then every tenth of a second. What nobody asks for is overwritten and goes nowhere.
import { ALL, type Asked, type Part } from "./tapping";

const REMEMBERED = 32_000;
const GATHERED = 1600;

class Tap extends AudioWorkletProcessor {
  private readonly ring = new Int16Array(REMEMBERED);
  /** How many samples ever came. */
  private count = 0;
  private gathered = 0;
  /** The next sample for each listener. */
  private readonly next = new Map<number, number>();
  private on = true;

  constructor() {
    super();
    this.port.onmessage = ({ data }: MessageEvent<Asked>) => this.answer(data);
  }

  private answer(asked: Asked): void {
    if (asked.id === ALL) this.on = false;
    else if (asked.from === null) this.end(asked.id);
    else this.begin(asked.id, asked.from);
  }

  private begin(id: number, from: number): void {
    const back = Math.max(0, Math.round((currentTime - from) * sampleRate));
    this.next.set(id, Math.max(0, this.count - Math.min(back, REMEMBERED)));
    this.hand(id);
  }

  private end(id: number): void {
    this.hand(id);
    this.next.delete(id);
    const ended: Part = { id, at: currentTime, samples: null };
    this.port.postMessage(ended);
  }

  override process(inputs: Float32Array[][]): boolean {
    const input = inputs[0]?.[0];
    if (!input) return this.on;
    for (const value of input) this.remember(value);
    this.gathered += input.length;
    if (this.gathered >= GATHERED) {
      this.gathered = 0;
      for (const id of this.next.keys()) this.hand(id);
    }
    return this.on;
  }

  private remember(value: number): void {
    const bounded = Math.max(-1, Math.min(1, value));
    this.ring[this.count % REMEMBERED] = bounded < 0 ? bounded * 32768 : bounded * 32767;
    this.count += 1;
  }

  private hand(id: number): void {
    const from = this.next.get(id) ?? this.count;
    if (from >= this.count) return;
    const samples = new Int16Array(this.count - from);
    for (let at = 0; at < samples.length; at++) samples[at] = this.ring[(from + at) % REMEMBERED] ?? 0;
    this.next.set(id, this.count);
    const part: Part = { id, at: currentTime - samples.length / sampleRate, samples };
    this.port.postMessage(part, [samples.buffer]);
  }
}

registerProcessor("tap", Tap);
