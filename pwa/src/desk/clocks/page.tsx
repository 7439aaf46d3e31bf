// The clocks: what runs and what is late, answered by keyboard; what was called, when and on which phone; and before.
import "./clocks.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { whyNot } from "../ask";
import { useKeys } from "../keys";
import { answer, clocks, type Clocks, type Running } from "./ask";
import { Contact, Whom } from "./calls";
import { Before } from "./past";
import { Start } from "./start";
import { RunningRow } from "./running";

const LOOK_MS = 5000;

export function TheClocks() {
  const [told, setTold] = useState<Clocks | null>(null);
  const [chosen, setChosen] = useState("");
  const [said, setSaid] = useState({ text: "", wrong: false });
  const ahead = useRef(0);
  const now = useSeconds(ahead);
  const look = async (): Promise<void> => {
    try {
      const found = await clocks();
      ahead.current = found.now - Date.now();
      setTold(found);
    } catch (problem) {
      setSaid({ text: whyNot(problem), wrong: true });
    }
  };
  useEffect(() => {
    void look();
    const timer = setInterval(() => void look(), LOOK_MS);
    return () => clearInterval(timer);
  }, []);
  const running = told?.running ?? [];
  const at = Math.max(0, running.findIndex((clock) => clock.id === chosen));
  const here = running[at];
  const act = async (clock: Running | undefined, what: "done" | "later"): Promise<void> => {
    if (!clock) return setSaid({ text: "No clock is running.", wrong: false });
    try {
      await answer(clock, what);
      setSaid({ text: what === "done" ? `${clock.label}: done.` : `${clock.label}: calls ten minutes later.`, wrong: false });
    } catch (problem) {
      setSaid({ text: whyNot(problem), wrong: true });
    }
    await look();
  };
  const move = (by: number): void => setChosen(running[Math.min(Math.max(at + by, 0), running.length - 1)]?.id ?? "");
  useKeys("The clocks", [
    { key: "ArrowDown", does: "next clock", act: () => move(1) },
    { key: "ArrowUp", does: "clock before", act: () => move(-1) },
    { key: "d", does: "done with it", act: () => void act(here, "done") },
    { key: "l", does: "ten minutes later", act: () => void act(here, "later") },
    { key: "s", does: "start a clock", act: () => document.getElementById("start-clock")?.focus() },
  ]);
  if (!told) return <p role="status">{said.text || "Reading the clocks …"}</p>;
  return (
    <div class="leaf clockleaf">
      <h1>Clocks</h1>
      <p class={said.wrong ? "wrong told" : "told"} role="status">{said.text}</p>
      <section class="slip">
        <h2>Running</h2>
        {running.length === 0 && <p>No clock is running.</p>}
        <ul class="clocks">
          {running.map((clock) => (
            <RunningRow key={clock.id} clock={clock} now={now} chosen={clock === here} devices={told.devices} choose={() => setChosen(clock.id)} act={(what) => void act(clock, what)} />
          ))}
        </ul>
        <p class="small">A clock is an estimate: the resin maker's sheet decides, and looking.</p>
      </section>
      <Start started={(lines) => { setSaid({ text: lines.join(" "), wrong: false }); void look(); }} />
      <Before first={told} devices={told.devices} />
      <Whom phones={told.phones} devices={told.devices} />
      <Contact contact={told.contact} placeholder={told.placeholder} changed={() => void look()} />
    </div>
  );
}

/** Now by the shop computer's clock, anew each second. */
function useSeconds(ahead: { current: number }): number {
  const [now, setNow] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(timer);
  }, []);
  return now + ahead.current;
}
