// Sound made fit for the engine: digital silence spoils it, so a little noise goes in, far below the speech.
// The same rule as the shop computer's (speech/conditioning.py); only the noise's own samples differ.
const BELOW_SPEECH = 10 ** (-35 / 20);
const FRAME = 320;
const SPOKEN_WITHIN = 10 ** (-25 / 10);

/** Samples between -1 and 1, with noise 35 dB below the speech; the same input gives the same output. */
export function conditioned(samples: Int16Array): Float32Array<ArrayBuffer> {
  const amount = Math.max(1, speechLevel(samples) * BELOW_SPEECH);
  const out = new Float32Array(samples.length);
  let state = 1;
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32 - 0.5;
  };
  for (let at = 0; at < samples.length; at++) {
    const noise = (uniform() + uniform() + uniform() + uniform()) * Math.sqrt(3);
    const mixed = Math.trunc((samples[at] ?? 0) + noise * amount);
    out[at] = Math.max(-1, Math.min(1, mixed / 32768));
  }
  return out;
}

/** Root mean square of the loud parts, taken for speech; 0 for silence. */
export function speechLevel(samples: Int16Array): number {
  const powers: number[] = [];
  for (let from = 0; from + FRAME <= samples.length; from += FRAME) {
    let sum = 0;
    for (let at = from; at < from + FRAME; at++) sum += (samples[at] ?? 0) ** 2;
    powers.push(sum / FRAME);
  }
  const least = Math.max(...powers, 0) * SPOKEN_WITHIN;
  const loud = powers.filter((power) => power >= least);
  return loud.length ? Math.sqrt(loud.reduce((sum, power) => sum + power, 0) / loud.length) : 0;
}
