// Clocks that call: whether, which, when not, and what the lock screen may show. Kept here, told to the shop.
import "./clocks.css";
import { useState } from "preact/hooks";
import { type Choice, KINDS, keepChoice, keptChoice } from "../calls/choice";
import { cannot, putChoice } from "../calls/subscribe";
import * as state from "../state";

const minutes = (text: string): number => {
  const [hours = "0", rest = "0"] = text.split(":");
  return Number(hours) * 60 + Number(rest);
};
const clockText = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, "0")}:${String(minute % 60).padStart(2, "0")}`;

export function Calls() {
  const [told, setTold] = useState("");
  const choice = state.calls.value;
  const why = cannot();
  const change = async (part: Partial<Choice>): Promise<void> => {
    const wanted = { ...choice, ...part };
    setTold("");
    state.callTrouble.value = "";
    if (part.on && (await Notification.requestPermission()) !== "granted") {
      setTold("Notifications were not allowed; clocks ring while the app is open.");
      return;
    }
    state.calls.value = wanted;
    await keepChoice(wanted);
    if (!wanted.on && !part.hasOwnProperty("on")) return;
    const wrong = await putChoice(wanted, await navigator.serviceWorker.ready);
    if (!wrong) state.calls.value = await keptChoice();
    if (wrong && part.on) {
      state.calls.value = { ...wanted, on: false };
      await keepChoice(state.calls.value);
    }
    setTold(wrong ? `${wrong}.` : wanted.on ? "This phone is called when the app is closed." : "This phone is called no more.");
  };
  return (
    <section>
      <h2>Clocks that call</h2>
      <p class="small">A clock is an estimate: the resin maker's sheet decides. While the app is open, clocks ring here without any network.</p>
      {why === "home screen" ? <HomeScreen /> : why ? <p>{why}. Clocks ring while the app is open.</p> : (
        <label class="pick"><input type="checkbox" checked={choice.on} onChange={(event) => void change({ on: event.currentTarget.checked })} /> Call this phone when the app is closed</label>
      )}
      <p role="status">{told}</p>
      {choice.on && choice.contact === false && (
        <p class="small">Push services are told no address of yours; some refuse such calls. Give one at the desk, page <b>Clocks</b>.</p>
      )}
      {state.callTrouble.value && <p class="open">{state.callTrouble.value}</p>}
      <fieldset class="kinds">
        <legend>Which clocks</legend>
        {KINDS.map(([name, label]) => (
          <label class="pick" key={name}>
            <input
              type="checkbox"
              checked={choice.kinds.includes(name)}
              onChange={(event) => void change({ kinds: KINDS.map(([each]) => each).filter((each) => (each === name ? event.currentTarget.checked : choice.kinds.includes(each))) })}
            /> {label}
          </label>
        ))}
      </fieldset>
      <label class="pick"><input type="checkbox" checked={choice.quiet !== null} onChange={(event) => void change({ quiet: event.currentTarget.checked ? [22 * 60, 6 * 60 + 30] : null })} /> Quiet hours: only a pot life calls</label>
      {choice.quiet && (
        <div class="hours">
          <label>from <input type="time" value={clockText(choice.quiet[0])} onChange={(event) => void change({ quiet: [minutes(event.currentTarget.value), choice.quiet?.[1] ?? 0] })} /></label>
          <label>until <input type="time" value={clockText(choice.quiet[1])} onChange={(event) => void change({ quiet: [choice.quiet?.[0] ?? 0, minutes(event.currentTarget.value)] })} /></label>
        </div>
      )}
      <label class="pick"><input type="checkbox" checked={choice.detail} onChange={(event) => void change({ detail: event.currentTarget.checked })} /> The lock screen may show what a clock is for</label>
    </section>
  );
}

function HomeScreen() {
  return (
    <p>
      An iPhone or iPad calls only for an app on the home screen: touch the share button, then <b>Add to Home Screen</b>, open plytally
      from there, pair it there, and come back to this page. Until then clocks ring while this page is open.
    </p>
  );
}
