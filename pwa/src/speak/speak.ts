// Says lines aloud where the phone has a voice. Silence is no failure: every line is on the screen too.
let aloud = true;

export function speakAloud(on: boolean): void {
  aloud = on;
  if (!on) hush();
}

export function hush(): void {
  globalThis.speechSynthesis?.cancel();
}

export function say(lines: readonly string[]): void {
  const voice = globalThis.speechSynthesis;
  if (!aloud || !voice || lines.length === 0) return;
  voice.cancel();
  const words = new SpeechSynthesisUtterance(lines.join(". "));
  words.lang = "en";
  words.rate = 1.05;
  voice.speak(words);
}
