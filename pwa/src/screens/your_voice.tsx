// Your voice: sentence after sentence to read aloud, what the shop computer learnt of it, which names it hears badly.
import "./your_voice.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { microphone } from "../capture/microphone";
import { type Recording, start } from "../capture/recorder";
import { whyNotKept } from "../keep/room";
import * as state from "../state";
import { syncNow } from "../sync/sync";
import { type Voice, askVoice, forgetVoice, keepReading, keptVoice, learnVoice, readHere, switchVoice } from "../voice/voice";
import { takeVoice } from "../work/voicing";

const LEARNING_MS = 5000;

export function YourVoice() {
  const [voice, setVoice] = useState<Voice | undefined>();
  const [here, setHere] = useState<ReadonlySet<string>>(new Set());
  const [reading, setReading] = useState(false);
  const [told, setTold] = useState("");
  const [sure, setSure] = useState(false);
  const look = async (): Promise<void> => {
    setHere(await readHere());
    const { voice: now, wrong } = await askVoice();
    setVoice(now ?? (await keptVoice()));
    if (wrong) setTold(`As it was last: ${wrong}.`);
    if (now) await takeVoice(now);
  };
  useEffect(() => void look(), [state.syncState.value.kind]);
  useEffect(() => {
    if (voice?.state !== "learning") return undefined;
    const timer = setInterval(() => void look(), LEARNING_MS);
    return () => clearInterval(timer);
  }, [voice?.state]);
  const take = async (asked: Promise<{ voice?: Voice; wrong: string }>, done: string): Promise<void> => {
    const { voice: now, wrong } = await asked;
    if (now) setVoice(now);
    if (now) await takeVoice(now);
    setTold(wrong ? `${wrong}.` : done);
  };
  if (!voice && state.syncState.value.kind === "unpaired") return <section class="voice"><h2>Your voice</h2><p>Once this phone is paired, it can learn your voice from a few sentences.</p></section>;
  if (!voice) return <section class="voice"><h2>Your voice</h2><p>{told || "The shop computer says what there is to read; it has not been asked yet."}</p></section>;
  if (reading) return <Reading voice={voice} here={here} again={setHere} done={() => { setReading(false); void syncNow(); }} />;
  const read = voice.sentences.filter(({ text, read }) => read || here.has(text)).length;
  const waits = [...here].length;
  const learnt = voice.state === "helps" || voice.state === "off";
  return (
    <section class="voice">
      <h2>Your voice</h2>
      <p>{STANDS[voice.state]}</p>
      {voice.right && voice.of && <p class="small">Of {voice.of} notes that it did not learn from, {voice.right[0]} were heard word for word without it and {voice.right[1]} with it.</p>}
      {voice.problem && <p class="open">The last time it could not be learnt: {voice.problem}.</p>}
      <p>{read} of {voice.sentences.length} sentences read. It takes about two minutes; read as you speak at work, in the shop, with the mask on if you wear one.</p>
      <button class="do" onClick={() => setReading(true)}>{read === 0 ? "Read them aloud" : read < voice.sentences.length ? "Read on" : "Read them again"}</button>
      {read >= voice.fewest && <button class="do" disabled={voice.state === "learning" || waits > 0} onClick={() => void take(learnVoice(), "It is being learnt; that takes a minute or two.")}>Learn my voice</button>}
      {waits > 0 && <p role="status">{waits} of them are only on this phone yet.</p>}
      <Unasked voice={voice} />
      {voice.state !== "learning" && (
        <label class="pick"><input type="checkbox" checked={learnt ? voice.on : (voice.unasked?.on ?? voice.on)} onChange={(event) => void take(switchVoice(event.currentTarget.checked), "")} /> {learnt ? "Hear my notes by it, and learn on from them" : "Learn it from my notes by itself"}</label>
      )}
      {voice.state !== "none" && <button class="do" onClick={() => (sure ? void take(forgetVoice(), "Forgotten.") : setSure(true))}>{sure ? "Yes, forget it" : "Forget my voice"}</button>}
      <p role="status">{told}</p>
      <Names voice={voice} />
    </section>
  );
}

const STANDS: Record<Voice["state"], string> = {
  none: "The hearing knows many voices, and none well. It can learn yours from a few sentences.",
  learning: "It is being learnt …",
  helps: "It is learnt, and your notes are heard by it.",
  "does not help": "It was learnt and made nothing better, so your notes are heard as before.",
  off: "It is learnt and switched off.",
};

/** What it learns from the day's work, nobody having asked. */
function Unasked({ voice: { unasked, state } }: { voice: Voice }) {
  if (!unasked || state === "learning") return null;
  if (!unasked.on) return <p class="small">It learns nothing from your notes by itself.</p>;
  const again = state === "none" ? "" : "more ";
  return <p class="small">It learns by itself from {unasked.of} {again}notes of yours in which nothing was in doubt; {Math.min(unasked.notes, unasked.of)} are there.</p>;
}

/** The builder's own names that were not heard as what they are. */
function Names({ voice }: { voice: Voice }) {
  const hard = voice.names.filter(({ right }) => !right);
  if (voice.names.length === 0) return null;
  if (hard.length === 0) return <p>All {voice.names.length} names of parts that you read were heard.</p>;
  return (
    <>
      <h3>Hard to hear</h3>
      <ul class="names">
        {hard.map(({ part, heard }) => <li key={part}><b>{part}</b> was heard as “{heard || "nothing"}”.</li>)}
      </ul>
      <p class="small">Read them once more, or look at the desk, on its page Phones, how they may have been said.</p>
    </>
  );
}

function Reading({ voice, here, again, done }: { voice: Voice; here: ReadonlySet<string>; again(now: ReadonlySet<string>): void; done(): void }) {
  const hard = new Set(voice.names.filter(({ right }) => !right).map(({ read }) => read));
  const open = voice.sentences.filter(({ text, read }) => !(read || here.has(text)));
  const [line] = useState(open.length > 0 ? open : hard.size > 0 ? voice.sentences.filter(({ text }) => hard.has(text)) : voice.sentences);
  const [at, setAt] = useState(0);
  const [recording, setRecording] = useState<Recording | undefined>();
  const [level, setLevel] = useState(0);
  const [wrong, setWrong] = useState("");
  const sentence = line[at];
  const underWay = useRef<Recording | undefined>(undefined);
  underWay.current = recording;
  useEffect(() => () => void underWay.current?.stop().then((medium) => keepReading({ ...medium, remark: "left" })), []);
  if (!sentence) {
    return <section class="voice"><h2>Your voice</h2><p class="big">That is all. Thank you.</p><button class="do" onClick={done}>Done</button></section>;
  }
  const begin = async (): Promise<void> => {
    try {
      const mic = await microphone();
      const begun = start(mic, mic.moment(performance.now()), {
        level: setLevel,
        first: () => undefined,
        notBegun: (problem) => {
          setRecording(undefined);
          setWrong(whyNotKept(problem));
        },
        failed: setWrong,
        silent: () => setWrong("no sound is coming in: the microphone is covered, off, or another app has it"),
      }, sentence.text);
      setWrong("");
      setRecording(begun);
    } catch (problem) {
      setWrong(whyNotKept(problem));
    }
  };
  const end = async (): Promise<void> => {
    const ending = recording;
    setRecording(undefined);
    setLevel(0);
    if (!ending) return;
    try {
      await keepReading(await ending.stop());
      again(await readHere());
      setAt(at + 1);
    } catch (problem) {
      setWrong(whyNotKept(problem));
    }
  };
  return (
    <section class="voice">
      <h2>Read this aloud</h2>
      <p class="small">{at + 1} of {line.length}</p>
      <p class="sentence">{sentence.text}</p>
      <meter aria-label="loudness" min={0} max={1} value={level} />
      {wrong && <p class="open" role="alert">{wrong}</p>}
      <div class="row">
        {recording ? <button class="tool on" onClick={() => void end()}>I have read it</button> : <button class="tool" onClick={() => void begin()}>Record</button>}
        {!recording && <button class="tool" onClick={() => setAt(at + 1)}>Leave it out</button>}
        {!recording && <button class="tool" onClick={done}>Stop here</button>}
      </div>
    </section>
  );
}
