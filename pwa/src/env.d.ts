/// <reference types="vite/client" />
declare const __PYTHON__: string;
declare const __EAR__: string;
declare const __HEAVY__: string[];
declare const __ON_ASKING__: string[];
declare const __VOSK__: string;

/** What the audio thread knows beside the usual; the DOM library leaves it out. */
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean;
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;
declare const currentTime: number;
declare const sampleRate: number;
