// Sound made fit for the engine, by the rule of the shop computer's speech/conditioning.py: steady noise turned
// down, then an even, low noise mixed in, since digital silence spoils the means that the engine works with. Only
// the samples of that noise differ.
import { lessNoise, quantile } from "./noise";

const NOISE_BELOW_SPEECH = 10 ** (-25 / 20);
/** The floor of the noise reduction by how noisy the note is: little is done to a quiet one. */
const SNR_DB = { noisy: 12, quiet: 25 };
const FLOOR_DB = { noisy: -16, quiet: -6 };
const FRAME = 320;
const SPOKEN_WITHIN = 10 ** (-25 / 10);
const QUIET_SHARE = 0.15;

/** Samples between -1 and 1 as the engine wants them; the same input gives the same output. */
export function conditioned(samples: Int16Array): Float32Array<ArrayBuffer> {
  const cleaned = lessNoise(samples, floorDb(loudOverQuietDb(samples)));
  const wanted = speechLevel(cleaned) * NOISE_BELOW_SPEECH;
  const added = Math.max(1, Math.sqrt(Math.max(0, wanted ** 2 - quietLevel(cleaned) ** 2)));
  const noise = normal(1);
  return Float32Array.from(cleaned, (sample) => {
    const mixed = Math.trunc(sample + noise() * added);
    return Math.max(-32768, Math.min(32767, mixed)) / 32768;
  });
}

/** How far the loud parts stand out of the quiet ones: 3 dB at the most for a steady noise. */
export function loudOverQuietDb(samples: Int16Array): number {
  return 20 * Math.log10(Math.max(1, speechLevel(samples)) / Math.max(1e-3, quietLevel(samples)));
}

/** Root mean square of the loud parts, taken for speech; 0 for silence. */
export function speechLevel(samples: Int16Array): number {
  const all = powers(samples);
  const least = all.reduce((most, each) => Math.max(most, each), 0) * SPOKEN_WITHIN;
  const loud = all.filter((each) => each >= least);
  return loud.length ? Math.sqrt(loud.reduce((sum, each) => sum + each, 0) / loud.length) : 0;
}

/** Root mean square that the quiet parts, taken for pauses, stay under; 0 for less than a frame. */
export function quietLevel(samples: Int16Array): number {
  const all = powers(samples);
  return all.length ? Math.sqrt(quantile(all, QUIET_SHARE)) : 0;
}

function floorDb(snrDb: number): number {
  const share = (snrDb - SNR_DB.noisy) / (SNR_DB.quiet - SNR_DB.noisy);
  return FLOOR_DB.noisy + Math.max(0, Math.min(1, share)) * (FLOOR_DB.quiet - FLOOR_DB.noisy);
}

function powers(samples: Int16Array): Float64Array {
  return Float64Array.from({ length: Math.floor(samples.length / FRAME) }, (_, frame) => {
    let sum = 0;
    for (let at = frame * FRAME; at < (frame + 1) * FRAME; at++) sum += (samples[at] ?? 0) ** 2;
    return sum / FRAME;
  });
}

/** Normally distributed numbers, the same for the same seed: xorshift (G. Marsaglia, 2003), Box and Muller (1958). */
function normal(seed: number): () => number {
  let state = seed;
  const uniform = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return ((state >>> 0) + 0.5) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
