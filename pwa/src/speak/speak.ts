// Says lines aloud where the phone has a voice. Silence is no failure: every line is on the screen too.
let aloud = true;
let sounds = false;

export function speakAloud(on: boolean): void {
  aloud = on;
  if (!on) hush();
}

export function hush(): void {
  sounds = false;
  globalThis.speechSynthesis?.cancel();
}

/** Whether the phone's own voice is in the air, and in the microphone. A voice that never begins is not. */
export const speaking = (): boolean => sounds;

export function say(lines: readonly string[]): void {
  const voice = globalThis.speechSynthesis;
  if (!aloud || !voice || lines.length === 0) return;
  hush();
  const words = new SpeechSynthesisUtterance(lines.join(". "));
  words.lang = "en";
  words.rate = 1.05;
  const over = (): void => {
    sounds = false;
  };
  words.onstart = () => {
    sounds = true;
  };
  words.onend = over;
  words.onerror = over;
  voice.speak(words);
}
