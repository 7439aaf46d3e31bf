// How this desk likes things: its shortcuts, dates and units, the places in photos, the passphrase.
import { useState } from "preact/hooks";
import { ask, session, whyNot } from "./ask";
import { keysOn, switchKeys } from "./keys";
import { Taught } from "./taught";
import { type Settings, changeSettings, settings } from "./settings";

export function Habits() {
  return (
    <div class="leaf">
      <h1>Habits of this desk</h1>
      <Ways />
      <Taught />
      <Passphrase />
    </div>
  );
}

function Ways() {
  const [wrong, setWrong] = useState("");
  const { photo_places, person, dates, clock, units } = settings.value;
  const change = (part: Partial<Settings>): void => {
    setWrong("");
    changeSettings(part).catch((problem) => setWrong(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>Keys, dates and units</h2>
      <label class="pick">
        <input type="checkbox" checked={keysOn.value} onChange={(event) => switchKeys(event.currentTarget.checked)} />
        <span>Single keys work in this browser; <kbd>?</kbd> lists them</span>
      </label>
      <div class="stacked">
        <Pick label="A day is written" value={dates} rows={DATES} set={(value) => change({ dates: value })} />
        <Pick label="A time of day is written" value={clock} rows={CLOCKS} set={(value) => change({ clock: value })} />
        <Pick label="Amounts are shown" value={units} rows={UNITS} set={(value) => change({ units: value })} />
        <fieldset class="ownunits">
          <legend>Or one kind of amount by itself</legend>
          {OWN_UNITS.map(([name, label, symbols]) => (
            <Pick key={name} label={label} value={settings.value[name]} rows={[["", "as above"], ...symbols]} set={(value) => change({ [name]: value })} />
          ))}
        </fieldset>
        <p class="small">The log keeps every amount in the unit in which it was said, and so do the tables for a spreadsheet; on screens and on paper the other unit stands in brackets behind it. A time keeps its offset from UTC.</p>
        <label>Who sits at the desk, by role; it is written beside all that is done here
          <input value={person} maxLength={60} onChange={(event) => change({ person: event.currentTarget.value })} />
        </label>
      </div>
      <label class="pick">
        <input type="checkbox" checked={photo_places} onChange={(event) => change({ photo_places: event.currentTarget.checked })} />
        Hand out photos with the place on earth where they were taken
      </label>
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}

const DATES = [["day_month", "21 March 2026"], ["month_day", "March 21, 2026"], ["iso", "2026-03-21"]] as const;
const CLOCKS = [["24", "19:05"], ["12", "7:05 pm"]] as const;
const same = (...symbols: string[]): [string, string][] => symbols.map((symbol) => [symbol, symbol]);
const OWN_UNITS: ["unit_length" | "unit_mass" | "unit_pressure" | "unit_temperature", string, [string, string][]][] = [
  ["unit_length", "Lengths", same("mm", "cm", "in", "mil")],
  ["unit_mass", "Masses", same("g", "kg", "oz", "lb")],
  ["unit_pressure", "Vacuum and pressure", same("inHg", "kPa", "mbar", "psi")],
  ["unit_temperature", "Temperatures", [["degF", "°F"], ["degC", "°C"]]],
];
const UNITS = [["said", "as they were said"], ["metric", "as said, with metric units beside"], ["inch", "as said, with inch units beside"]] as const;

function Pick<T extends string>({ label, value, rows, set }: { label: string; value: T; rows: readonly (readonly [T, string])[]; set(value: T): void }) {
  return (
    <label>{label}
      <select value={value} onChange={(event) => { const row = rows.find(([name]) => name === event.currentTarget.value); if (row) set(row[0]); }}>
        {rows.map(([name, shown]) => <option key={name} value={name}>{shown}</option>)}
      </select>
    </label>
  );
}

function Passphrase() {
  const [current, setCurrent] = useState("");
  const [fresh, setFresh] = useState("");
  const [wrong, setWrong] = useState("");
  const change = (event: Event): void => {
    event.preventDefault();
    ask<null>("PUT", "/api/desk/passphrase", { current, fresh }).then(
      () => { session.value = "out"; },
      (problem) => setWrong(whyNot(problem)),
    );
  };
  return (
    <section class="slip">
      <h2>Another passphrase</h2>
      <p>Every browser that is signed in is signed out by it, this one too.</p>
      <form class="stacked" onSubmit={change}>
        <label>The passphrase as it is <input type="password" autocomplete="current-password" required value={current} onInput={(event) => setCurrent(event.currentTarget.value)} /></label>
        <label>The new passphrase, 12 characters or more <input type="password" autocomplete="new-password" required minLength={12} maxLength={256} value={fresh} onInput={(event) => setFresh(event.currentTarget.value)} /></label>
        <button type="submit">Change it</button>
      </form>
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}
