// The frame: a strip that says what is not on the shop computer, and one of three pages below it.
import * as state from "../state";
import { Log } from "./log";
import { Shop } from "./shop";
import { Sums } from "./sums/page";
import { Work } from "./work";

const PAGES = { work: Work, log: Log, sums: Sums, shop: Shop } as const;
const TABS = [["work", "Bench"], ["log", "Log"], ["sums", "Sums"], ["shop", "Shop"]] as const;

const TITLES = { work: "The bench: speak a note", log: "The log", sums: "Sums", shop: "The phone and its shop computer" } as const;

export function App({ takeOver }: { takeOver(): void }) {
  const Page = PAGES[state.screen.value];
  return (
    <div class={`frame ${state.settings.value.hand} on-${state.screen.value}`}>
      <header class="strip">
        <nav aria-label="Pages">
          {TABS.map(([name, label]) => (
            <button key={name} aria-current={state.screen.value === name ? "page" : undefined} disabled={state.stage.value === "recording"} onClick={() => { state.screen.value = name; }}>
              {label}
            </button>
          ))}
        </nav>
        <Unsent />
      </header>
      <Update takeOver={takeOver} />
      <main>
        <h1 class="unseen">{state.building.value && state.screen.value === "work" ? "An entry by touch" : TITLES[state.screen.value]}</h1>
        <Page />
      </main>
      {state.screen.value === "work" && <aside class="beside" aria-label="Log" tabIndex={0}><Log /></aside>}
    </div>
  );
}

const NONE_WAITS = {
  starting: "",
  unpaired: "not paired with a shop computer",
  busy: "asking the shop computer",
  waiting: "the shop computer is not in reach",
  idle: "all on the shop computer",
};

/** A day without its year, where that is this one: the strip has one line. */
const shortly = (day: string): string => {
  const year = String(new Date().getFullYear());
  return day.startsWith(year) ? state.dayTold(day).replace(new RegExp(`,? ${year}$`), "") : state.dayTold(day);
};

function Unsent() {
  const count = state.unsentCount.value;
  const kind = state.syncState.value.kind;
  const since = state.unsent.value.since.slice(0, 10);
  const old = since !== "" && since < new Date().toISOString().slice(0, 10);
  const some = old ? `only here since ${shortly(since)}` : "only on this phone";
  const words = count === 0 ? NONE_WAITS[kind] : some;
  return (
    <p class={count > 0 ? "unsent some" : "unsent"} role="status">
      {count > 0 && <b data-unsent={count}>{count}</b>}{" "}
      {count === 0 && kind === "unpaired" ? <button class="to-shop" onClick={() => { state.screen.value = "shop"; }}>{words}</button> : words}
    </p>
  );
}

function Update({ takeOver }: { takeOver(): void }) {
  if (!state.update.value) return null;
  const busy = state.stage.value !== "ready" || state.inLine.value > 0;
  return (
    <div class="update" role="status">
      <p>A newer plytally is on this phone.</p>
      <button disabled={busy} onClick={takeOver}>Change to it now</button>
    </div>
  );
}
