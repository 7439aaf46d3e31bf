// The phone and its shop computer: pairing, what is not there yet, how this phone behaves, room, copy-out.
import { useEffect, useState } from "preact/hooks";
import { copyOut, save } from "../keep/copy_out";
import { fact } from "../keep/db";
import { offerAgain } from "../keep/operations";
import { askToLast } from "../keep/room";
import { BetterEar } from "./better_ear";
import * as state from "../state";
import { type Before, pair, syncNow } from "../sync/sync";
import { count } from "../work/counting";
import { Calls } from "./calls";
import { Manner } from "./manner";
import { YourVoice } from "./your_voice";

const megabytes = (bytes: number): string =>
  bytes < 1e9 ? `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB` : `${(bytes / 1e9).toFixed(1)} GB`;

const counted = (number: number, one: string, many: string): string => `${number} ${number === 1 ? one : many}`;

/** A sentence begins with a capital and ends with one full stop, wherever its words come from. */
const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1).replace(/\.$/, "")}.`;

/** As long as nobody knows, another tab may be syncing. */
const isPaired = (): boolean => state.syncState.value.kind !== "unpaired";

export function Shop() {
  return (
    <div class="pages">
      {isPaired() ? <><Sending /><Pairing /></> : <><Pairing /><Sending /></>}
      <YourVoice />
      <Manner />
      <Calls />
      <Powers />
      <Keeping />
      <ToDesk />
      <MadeOf />
    </div>
  );
}

function MadeOf() {
  return (
    <section>
      <h2>What this app is made of</h2>
      <p>plytally is Apache-2.0. The parts it stands on, and their licences: <a href="/licences.txt" target="_blank" rel="noopener">the list</a> (from the shop computer).</p>
    </section>
  );
}

function ToDesk() {
  return (
    <section>
      <h2>The desk</h2>
      <p>Going over the day, searching the years and printing the record are done on the shop computer's own page, with its passphrase.</p>
      <p><a class="do onward" href="/desk">Open the desk</a></p>
    </section>
  );
}

function Sending() {
  const { operations, media, refused, since } = state.unsent.value;
  const now = state.syncState.value;
  return (
    <section>
      <h2>To the shop computer</h2>
      <p class="big">{operations + media === 0 ? (isPaired() ? "All of it is there." : "Nothing waits on this phone.") : `Only on this phone: ${counted(operations, "note or change", "notes and changes")}, ${counted(media, "sound or photo", "sounds and photos")}.`}</p>
      {since && <p>The oldest waits since {state.whenTold(since)}.</p>}
      {now.kind === "busy" && <p>Sending{now.media > 0 ? `, ${now.media} sounds and photos to go` : ""} …</p>}
      {now.kind === "waiting" && <p>{sentence(now.why)} It is tried again by itself.</p>}
      {now.kind === "unpaired" && <p>{sentence(now.why || "this phone is not paired yet")} Nothing on it is lost: what it notes waits here.</p>}
      {refused.map((row) => <p class="open" key={row.id}>The shop computer put one aside: {row.why}. It stays here, and goes again with “Send now” and at each start.</p>)}
      {isPaired() && <button class="do" onClick={() => void offerAgain().then(syncNow)}>Send now</button>}
    </section>
  );
}

function Pairing() {
  const [code, setCode] = useState(new URLSearchParams(location.hash.slice(1)).get("code") ?? "");
  const [name, setName] = useState("shop phone");
  const [told, setTold] = useState("");
  const [before, setBefore] = useState<Before | null>(null);
  const [called, setCalled] = useState("");
  useEffect(() => void fact<string>("phoneName").then((known) => setCalled(known ?? "")), [state.syncState.value.kind]);
  const go = async (event: Event): Promise<void> => {
    event.preventDefault();
    const done = await pair(code, name);
    setTold(done.wrong ? sentence(done.wrong) : "Paired.");
    if (done.wrong !== "") return;
    setCode("");
    setBefore(done.before);
  };
  return (
    <section>
      <h2>{isPaired() ? (called ? "This phone is paired" : "Pairing") : "Pair this phone"}</h2>
      {isPaired() && called && <p>The shop computer knows it as “{called}”.</p>}
      {!isPaired() && <p>So that its notes reach the shop computer. The code is shown there: at the desk, page <b>Phones</b>, or by <b>plytally phones --add</b>.</p>}
      <details class="again" open={!isPaired()}>
      <summary>{isPaired() ? "Pair it again, with another code" : "Enter the code"}</summary>
      <form onSubmit={(event) => void go(event)}>
        <label>Code from the desk <input value={code} required autocomplete="off" autocapitalize="characters" onInput={(event) => setCode(event.currentTarget.value)} /></label>
        <label>What to call this phone <input value={name} required maxLength={60} onInput={(event) => setName(event.currentTarget.value)} /></label>
        <button class="do" type="submit">Pair</button>
      </form>
      </details>
      <p role="status">{told}</p>
      {before && missing(before).map((line) => <p class="open" key={line}>{line}</p>)}
    </section>
  );
}

/** What a phone that was cleared must be told: how far its notes came, and that more is gone. */
function missing({ name, last_seen, last, gaps, media }: Before): string[] {
  const seen = last_seen ? `, last on ${state.whenTold(last_seen)}` : "";
  const came = last === 0 ? "Nothing of what it noted came here." : `Of what it noted, number ${last} was the last to come here.`;
  const holes = gaps.map(([first, end]) => `Its numbers ${first} to ${end} never came.`);
  return [
    `The browser cleared this phone. It was “${name}”${seen}. ${came}`,
    ...holes,
    ...(media > 0 ? [`${media} of its sounds and photos never came.`] : []),
    "What it kept after that is gone: go through that day's work, and note again what is missing.",
  ];
}

function Powers() {
  const told = (power: state.Power, on: string): string =>
    power.kind === "on" ? on : power.kind === "loading" ? "is being loaded." : `cannot work here: ${power.why.replace(/\.$/, "")}.`;
  const voice = state.voicePower.value;
  return (
    <section>
      <h2>Hearing and understanding</h2>
      <p>Hearing {told(state.earPower.value, "works without any network.")}</p>
      {voice.kind === "on" && <p class="small">It hears by your voice.</p>}
      {voice.kind === "off" && <p class="open">It does not hear by your voice: {voice.why}. It hears as before you taught it.</p>}
      <BetterEar />
      <p>Understanding {told(state.mindPower.value, "works without any network.")}</p>
      <p class="small">Recording needs neither. What this phone does not understand is kept as sound, for the shop computer and the desk.</p>
    </section>
  );
}

function Keeping() {
  const [share, setShare] = useState(-1);
  const room = state.room.value;
  const out = async (): Promise<void> => {
    setShare(0);
    save(await copyOut(setShare), `plytally-${new Date().toISOString().slice(0, 10)}.zip`);
    setShare(-1);
  };
  return (
    <section>
      <h2>Room and safety</h2>
      {room && <p>{megabytes(room.used)} of {megabytes(room.whole)} used. {room.lasting ? "The browser promised to keep it." : "The browser may clear it when the phone runs full, or when the app is not opened for a week."}</p>}
      {room && !room.lasting && <button class="do" onClick={() => void askToLast().then(count)}>Ask the browser to keep it</button>}
      <button class="do" disabled={share >= 0} onClick={() => void out()}>Save everything to a file</button>
      {share >= 0 && <progress aria-label="saving" value={share} max={1} />}
    </section>
  );
}
