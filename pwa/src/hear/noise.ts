// A steady noise (pump, fan, compressor) taken out of a recording: the rule of speech/noise.py, where its source
// stands. The noise is taken to be what each frequency falls back to in the quieter moments of the note.
import FFT from "fft.js";

const FRAME = 512;
const HOP = 128;
const BINS = FRAME / 2 + 1;
const SMOOTHED_FRAMES = 7;
const QUIET_SHARE = 0.2;
const BIAS = 1.3;
const DECISION_DIRECTED = 0.96;
const LEAST_PRIOR = 10 ** (-25 / 10);
const WINDOW = Float64Array.from({ length: FRAME }, (_, at) => 0.5 - 0.5 * Math.cos((2 * Math.PI * at) / FRAME));
const LOW = [0.00107857, -0.00976004, 0.05519968, -0.24991055, 0.99999193, -0.57721566];
const OVER = [1, 8.5733287401, 18.059016973, 8.6347608925, 0.2677737343];
const UNDER = [1, 9.5733223454, 25.6329561486, 21.0996530827, 3.9584969228];

/** The sound with its steady noise turned down, at the most by `floorDb`; too short a one comes back as it is. */
export function lessNoise(samples: Int16Array, floorDb: number): Int16Array {
  if (samples.length < FRAME) return samples;
  const fft = new FFT(FRAME);
  const spectra = analysed(fft, samples);
  const powers = spectra.map(power);
  const noise = noisePower(powers).map((each) => Math.max(each * BIAS, 1e-3));
  turnDown(spectra, powers, noise, 10 ** (floorDb / 20));
  return synthesised(fft, spectra, samples.length);
}

/** The value that a share of them stays under, between two where it falls between; the order is changed. */
export function quantile(values: Float64Array, share: number): number {
  values.sort();
  const at = share * (values.length - 1);
  const below = values[Math.floor(at)] ?? 0;
  return below + (at % 1) * ((values[Math.ceil(at)] ?? 0) - below);
}

/** Each frame's spectrum, real and imaginary parts in turn, for frames that begin a frame before the sound. */
function analysed(fft: FFT, samples: Int16Array): Float64Array[] {
  const frames = Math.floor((samples.length + FRAME) / HOP) + 1;
  const frame = new Float64Array(FRAME);
  return Array.from({ length: frames }, (_, number) => {
    const from = number * HOP - FRAME;
    for (let at = 0; at < FRAME; at++) frame[at] = (samples[from + at] ?? 0) * (WINDOW[at] ?? 0);
    const spectrum = new Float64Array(2 * FRAME);
    fft.realTransform(spectrum, frame);
    return spectrum;
  });
}

function power(spectrum: Float64Array): Float64Array {
  return Float64Array.from({ length: BINS }, (_, bin) => (spectrum[2 * bin] ?? 0) ** 2 + (spectrum[2 * bin + 1] ?? 0) ** 2);
}

/** By frequency, the power that a fifth of the note stays under, over a few frames each. */
function noisePower(powers: readonly Float64Array[]): Float64Array {
  const width = Math.min(SMOOTHED_FRAMES, powers.length);
  const means = new Float64Array(powers.length - width + 1);
  return Float64Array.from({ length: BINS }, (_, bin) => {
    let sum = 0;
    powers.forEach((frame, at) => {
      sum += frame[bin] ?? 0;
      if (at >= width) sum -= powers[at - width]?.[bin] ?? 0;
      if (at >= width - 1) means[at - width + 1] = sum / width;
    });
    return quantile(means.slice(), QUIET_SHARE);
  });
}

/** Multiply each frequency of each frame by its gain. */
function turnDown(spectra: readonly Float64Array[], powers: readonly Float64Array[], noise: Float64Array, floor: number): void {
  const kept = new Float64Array(BINS);
  spectra.forEach((spectrum, number) => {
    const frame = powers[number] ?? kept;
    for (let bin = 0; bin < BINS; bin++) {
      const here = noise[bin] ?? 1;
      const posterior = Math.min((frame[bin] ?? 0) / here, 1e4);
      const own = (1 - DECISION_DIRECTED) * Math.max(posterior - 1, 0);
      const prior = Math.max((DECISION_DIRECTED * (kept[bin] ?? 0)) / here + own, LEAST_PRIOR);
      const wiener = prior / (1 + prior);
      const free = wiener * Math.exp(0.5 * exponentialIntegral(Math.max(wiener * posterior, 1e-3)));
      const gain = Math.min(1, Math.max(floor, free));
      kept[bin] = gain ** 2 * (frame[bin] ?? 0);
      spectrum[2 * bin] = (spectrum[2 * bin] ?? 0) * gain;
      spectrum[2 * bin + 1] = (spectrum[2 * bin + 1] ?? 0) * gain;
    }
  });
}

/** Overlap and add, weighted by the window a second time. */
function synthesised(fft: FFT, spectra: readonly Float64Array[], length: number): Int16Array {
  const total = new Float64Array(HOP * (spectra.length - 1) + FRAME);
  const weight = new Float64Array(total.length);
  const frame = new Float64Array(2 * FRAME);
  spectra.forEach((spectrum, number) => {
    fft.completeSpectrum(spectrum);
    fft.inverseTransform(frame, spectrum);
    for (let at = 0; at < FRAME; at++) {
      const window = WINDOW[at] ?? 0;
      total[number * HOP + at] = (total[number * HOP + at] ?? 0) + (frame[2 * at] ?? 0) * window;
      weight[number * HOP + at] = (weight[number * HOP + at] ?? 0) + window ** 2;
    }
  });
  return Int16Array.from({ length }, (_, at) => {
    const value = (total[FRAME + at] ?? 0) / Math.max(weight[FRAME + at] ?? 0, 1e-8);
    return Math.trunc(Math.min(32767, Math.max(-32768, value)));
  });
}

/** E1(x) for x > 0 (Abramowitz and Stegun, 5.1.53 and 5.1.56). */
function exponentialIntegral(x: number): number {
  if (x < 1) return polynomial(LOW, x) - Math.log(x);
  return ((polynomial(OVER, x) / polynomial(UNDER, x)) * Math.exp(-x)) / x;
}

function polynomial(factors: readonly number[], x: number): number {
  let value = 0;
  for (const factor of factors) value = value * x + factor;
  return value;
}
