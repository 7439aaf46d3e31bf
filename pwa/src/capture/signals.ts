// What the phone does to be noticed in a noisy shop by someone who does not look: sound and shaking.
export type Signal = "started" | "kept" | "failed" | "doubt" | "due";

/** [hertz, seconds, pause after] for each tone: rising, settled, falling and low, two alike. */
const TONES: Record<Signal, [number, number, number][]> = {
  started: [[520, 0.07, 0.02], [780, 0.09, 0]],
  kept: [[780, 0.07, 0.02], [620, 0.07, 0.02], [930, 0.14, 0]],
  failed: [[240, 0.25, 0.08], [180, 0.45, 0]],
  doubt: [[660, 0.12, 0.12], [660, 0.12, 0]],
  due: [[880, 0.18, 0.1], [880, 0.18, 0.1], [1175, 0.3, 0.3], [880, 0.18, 0.1], [880, 0.18, 0.1], [1175, 0.3, 0]],
};
const SHAKES: Record<Signal, number[]> = {
  started: [40],
  kept: [30, 60, 90],
  failed: [400, 120, 400],
  doubt: [120, 120, 120],
  due: [300, 100, 300, 100, 600, 300, 300, 100, 300, 100, 600],
};

/** A tone that comes later than this would be taken for another. */
const LATE_MS = 700;

let soundsUntil = 0;

/** Whether a tone of ours can still be heard at this moment of the page's clock, in milliseconds. */
export const sounding = (now: number): boolean => now < soundsUntil;

/** Never throws: a phone that can do neither still shows it. */
export function signal(which: Signal, context: AudioContext | undefined, aloud: boolean): void {
  navigator.vibrate?.(SHAKES[which]);
  if (!aloud || !context || context.state === "closed") return;
  if (context.state === "running") return play(which, context);
  const asked = performance.now();
  const still = (): void => {
    if (performance.now() - asked < LATE_MS) play(which, context);
  };
  void context.resume().then(still, () => undefined);
}

function play(which: Signal, context: AudioContext): void {
  const first = context.currentTime + 0.01;
  let at = first;
  for (const [hertz, seconds, pause] of TONES[which]) {
    tone(context, hertz, at, seconds);
    at += seconds + pause;
  }
  soundsUntil = performance.now() + (at - first) * 1000 + 50;
}

function tone(context: AudioContext, hertz: number, at: number, seconds: number): void {
  const source = new OscillatorNode(context, { type: "triangle", frequency: hertz });
  const volume = new GainNode(context, { gain: 0 });
  volume.gain.setValueAtTime(0, at);
  volume.gain.linearRampToValueAtTime(0.5, at + 0.01);
  volume.gain.setValueAtTime(0.5, at + seconds - 0.02);
  volume.gain.linearRampToValueAtTime(0, at + seconds);
  source.connect(volume).connect(context.destination);
  source.start(at);
  source.stop(at + seconds);
}
