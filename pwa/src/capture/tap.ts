// Runs in the audio thread: gathers 16 kHz samples and posts them every tenth of a second, with their level.
const GATHERED = 1600;

class Tap extends AudioWorkletProcessor {
  private samples = new Int16Array(GATHERED);
  private at = 0;
  private on = true;

  constructor() {
    super();
    this.port.onmessage = () => {
      this.send();
      this.on = false;
      this.port.postMessage(null);
    };
  }

  override process(inputs: Float32Array[][]): boolean {
    const input = inputs[0]?.[0];
    if (input) for (const value of input) this.add(value);
    return this.on;
  }

  private add(value: number): void {
    const bounded = Math.max(-1, Math.min(1, value));
    this.samples[this.at++] = bounded < 0 ? bounded * 32768 : bounded * 32767;
    if (this.at === GATHERED) this.send();
  }

  private send(): void {
    const part = this.samples.slice(0, this.at);
    this.at = 0;
    if (part.length > 0) this.port.postMessage(part, [part.buffer]);
  }
}

registerProcessor("tap", Tap);
