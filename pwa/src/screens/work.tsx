// The first screen: one sheet to touch and speak, what was last said back, photo and writing.
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { unitsPrinted } from "../likes";
import * as state from "../state";
import { say } from "../speak/speak";
import { takePhotos } from "../work/photos";
import { HELD_MS } from "../work/keys";
import { stop, toggle } from "../work/session";
import { draft } from "../work/writing";
import { Asking } from "./asking";
import { Building } from "./building";
import { Writing } from "./writing";
import { ClockAnswers, ClockSaid, Running, shownClock } from "./clocks";

const LABEL: Record<state.Stage, string> = {
  ready: "Touch and speak",
  opening: "One moment",
  recording: "Touch to end",
  keeping: "Keeping",
};
const clock = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

export function Work() {
  const asked = state.asking.value;
  const clock = shownClock();
  const built = state.building.value;
  const below = built ? (
    <Building key={built.kind ?? ""} about={built.about} kind={built.kind} close={() => { state.building.value = null; }} />
  ) : asked ? <Asking entry={asked.entry} doubt={asked.doubt} /> : clock ? <ClockAnswers clock={clock} /> : <Tools />;
  return (
    <div class={built ? "work built" : asked ? "work asked" : "work"}>
      <div class="top">
        {clock ? <ClockSaid clock={clock} /> : <SaidBack />}
        <Running />
      </div>
      <Sheet />
      {below}
    </div>
  );
}

/** What was said back. Where it is longer than its place, a touch gives it the sheet's, and the next turn its page. */
function SaidBack() {
  const said = state.said.value;
  const waits = state.inLine.value;
  const here = useRef<HTMLElement>(null);
  const [wide, setWide] = useState(false);
  const [cut, setCut] = useState(false);
  const [end, setEnd] = useState(false);
  useEffect(() => setWide(false), [said]);
  const look = (): void => {
    const box = here.current;
    if (!box || box.clientHeight === 0) return;
    if (!wide) setCut(box.scrollHeight > box.clientHeight + 8);
    setEnd(atEnd(box));
  };
  useLayoutEffect(look);
  useEffect(() => {
    const watch = new ResizeObserver(look); // its place grows and shrinks with what is around it
    if (here.current) watch.observe(here.current);
    return () => watch.disconnect();
  }, [wide]);
  const touch = ({ currentTarget: box }: { currentTarget: HTMLElement }): void => {
    if (wide && !atEnd(box)) box.scrollTop += box.clientHeight * 0.85;
    else setWide(cut && !wide);
  };
  return (
    <section ref={here} class={`said ${said?.tone ?? "plain"}${wide ? " wide" : ""}${cut ? " cut" : ""}${end ? " end" : ""}`} aria-live="polite" tabIndex={0} onClick={touch} onScroll={(event) => setEnd(atEnd(event.currentTarget))}>
      {(said?.lines ?? [HINT]).map((line) => (
        <p key={line}>{unitsPrinted(line)}</p>
      ))}
      {waits > 0 && <p class="small">{waits === 1 ? "one note is being heard and understood" : `${waits} notes are being heard and understood`}</p>}
      {cut && <span class="more" aria-hidden="true"><b>{wide && end ? "less" : "more"}</b></span>}
    </section>
  );
}

const atEnd = (box: HTMLElement): boolean => box.scrollTop + box.clientHeight >= box.scrollHeight - 8;

const HINT = "Say what you did: “laid two plies bid on the right elevator spar aft face”";

let downAt = 0;
let began = false;

function Sheet() {
  const stage = state.stage.value;
  const down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    downAt = performance.now();
    began = state.stage.value === "ready";
    void toggle(event.timeStamp);
  };
  const up = (): void => {
    if (began && performance.now() - downAt > HELD_MS) void stop();
  };
  return (
    <button
      class={`sheet ${stage}`}
      data-record
      aria-pressed={stage === "recording"}
      onPointerDown={down}
      onPointerUp={up}
      onContextMenu={(event) => event.preventDefault()}
      onClick={(event) => event.detail === 0 && void toggle(event.timeStamp)}
    >
      <span class="label">{LABEL[stage]}</span>
      <Pile />
      <span class="time" aria-hidden={stage !== "recording"}>{stage === "recording" ? clock(state.seconds.value) : ""}</span>
    </button>
  );
}

/** The level as a pile of plies that grows with the voice. */
function Pile() {
  const high = Math.round(state.level.value * 12);
  return (
    <span class="pile" aria-hidden="true">
      {Array.from({ length: 12 }, (_, at) => (
        <i key={at} class={at < high ? "on" : ""} />
      ))}
    </span>
  );
}

function Tools() {
  const [writing, setWriting] = useState(draft() !== "");
  if (writing) return <Writing close={() => setWriting(false)} />;
  return (
    <section class="tools">
      <label class={state.notice.value === "photo" ? "tool wanted" : "tool"}>
        <input
          type="file"
          accept="image/*"
          capture="environment"
          aria-label="Take a photo"
          onChange={(event) => {
            const input = event.currentTarget;
            state.notice.value = "";
            void takePhotos([...(input.files ?? [])]);
            input.value = "";
          }}
        />
        <span aria-hidden="true">Photo</span>
        {state.photos.value[0] && <img src={state.photos.value[0].url} alt="the photo just taken" />}
      </label>
      <button class="tool" onClick={() => setWriting(true)}>Write</button>
      {state.notUnderstood.value && state.mindPower.value.kind === "on" ? (
        <button class="tool wanted" onClick={() => { state.building.value = { about: state.notUnderstood.value }; }}>Tell it by touch</button>
      ) : (
        <button class="tool" disabled={state.stage.value === "recording" || !state.said.value} onClick={() => state.said.value && say(state.said.value.lines)}>Say again</button>
      )}
    </section>
  );
}
