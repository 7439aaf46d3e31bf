// The day: its entries on the left, the one that is looked at on the right, and keys for all that can be done.
import "./day.css";
import { useEffect, useRef } from "preact/hooks";
import { dayTold, timeTold, weekday } from "../dates";
import { useKeys } from "../keys";
import { go, to } from "../way";
import { type Deed, Detail, choose } from "./detail";
import { Forms, form, openForm } from "./forms";
import { List } from "./list";
import { seen } from "./request";
import type { Entry, Row } from "./shapes";
import { listen } from "./sound";
import { act, busy, day, days, entry, loadDay, loadDays, loadEntry, marked, say, teach, told } from "./state";
import { Teach } from "./teach";
import { addPhotos, pickPhotos, useDrop } from "./photos";
import { Backlog } from "./backlog";

const waits = (row: Row): boolean => row.stands === "open" || row.stands === "unseen";

export function TheDay({ rest }: { rest: readonly string[] }) {
  const [name = "", chosen = ""] = rest;
  useEffect(() => void loadDays(), []);
  useEffect(() => {
    const latest = days.value?.days[0]?.day;
    if (!name && latest) go("day", [latest], true);
    else if (name) void loadDay(name);
  }, [name, days.value?.days[0]?.day]);
  useEffect(() => {
    form.value = null;
    say("");
    void loadEntry(chosen);
  }, [chosen]);
  const rows = day.value?.day === name ? day.value.entries : [];
  useEffect(() => {
    const first = rows.find(waits) ?? rows[0];
    if (!chosen && first && matchMedia("(min-width: 60rem)").matches) go("day", [name, first.id], true);
  }, [rows.length, chosen, name]);
  if (!days.value) return <p role="status">Reading the log …{told.value.wrong && ` ${told.value.text}`}</p>;
  if (days.value.days.length === 0) return <NothingYet />;
  return <Open name={name} rows={rows} chosen={chosen} />;
}

function NothingYet() {
  return (
    <section class="slip leaf">
      <h1>Nothing is noted yet</h1>
      <p>Entries come from phones, and from <code>plytally note</code> on this computer.</p>
      <ul>
        <li>Bring a phone in: <code>plytally serve --lan</code> shows a code to scan.</li>
        <li>Give plytally your print: <a href={to("print")}>write it or take a file</a>, or run <code>plytally schedule my-print.yaml</code>.</li>
        <li>Coming from another machine? <a href={to("handover")}>Take in the file</a> that it wrote.</li>
        <li>Only looking? <code>plytally demo --day FOLDER</code> makes a day to try this page on.</li>
      </ul>
    </section>
  );
}

function Open({ name, rows, chosen }: { name: string; rows: readonly Row[]; chosen: string }) {
  const shown = entry.value?.id === chosen ? entry.value : null;
  const board = useRef<HTMLDivElement>(null);
  const pick = (row: Row | undefined): void => {
    if (!row) return;
    go("day", [name, row.id], true);
    board.current?.querySelector<HTMLElement>(`[data-entry="${row.id}"]`)?.focus();
  };
  const moved = moves(rows, chosen, pick);
  const over = useDrop((files) => {
    if (form.value || !shown || shown.withdrawn !== null) openForm({ kind: "note", files });
    else void addPhotos(shown, files);
  });
  const deeds = shown ? deedsOf(shown, rows, moved.nextWaiting) : [];
  const undoubted = rows.filter((row) => row.stands === "unseen");
  const acceptAll = (): void => {
    if (undoubted.length === 0) say("Nothing on this day waits without a doubt.", true);
    else void act({ act: "accept", entries: undoubted.map(seen) }, `${undoubted.length} entries accepted.`);
  };
  useKeys("The entry", deeds);
  useKeys("The day", [
    { key: "ArrowDown", does: "next entry", act: moved.next },
    { key: "ArrowUp", does: "entry before", act: moved.before },
    { key: "n", does: "next that waits for you", act: moved.nextWaiting },
    { key: "ArrowLeft", does: "earlier day", act: () => turn(name, 1) },
    { key: "ArrowRight", does: "later day", act: () => turn(name, -1) },
    { key: "u", does: "accept all that are not in doubt", act: acceptAll },
    { key: "+", does: "add an entry that was not noted", act: () => openForm({ kind: "note" }) },
  ]);
  return (
    <div class={`dayboard${chosen ? " reading" : ""}`} ref={board}>
      {over && <p class="dropping" aria-hidden="true">{shown && !form.value ? "Drop the photos: they go to the entry that is open" : "Drop the photos: they make an entry of their own"}</p>}
      <Heading name={name} rows={rows} acceptAll={acceptAll} count={undoubted.length} />
      <p class={told.value.wrong ? "wrong told" : "told"} role="status">{told.value.text}</p>
      <div class="list"><List rows={rows} chosen={chosen} choose={(id) => pick(rows.find((row) => row.id === id))} /></div>
      <div class="pane" aria-busy={busy.value}>
        {chosen && <p class="back"><a href={to("day", name)}>Back to the day</a></p>}
        <Teach />
        <Forms entry={shown} />
        {shown ? <Detail entry={shown} deeds={deeds} /> : !chosen && <p class="slip wide">Choose an entry; <kbd>↓</kbd> goes to the first.</p>}
      </div>
    </div>
  );
}

function moves(rows: readonly Row[], chosen: string, pick: (row: Row | undefined) => void) {
  const at = rows.findIndex((row) => row.id === chosen);
  return {
    next: () => pick(rows[Math.min(at + 1, rows.length - 1)]),
    before: () => pick(rows[Math.max(at - 1, 0)]),
    nextWaiting: () => {
      const later = [...rows.slice(at + 1), ...rows.slice(0, at + 1)].find(waits);
      if (later) pick(later);
      else say("Nothing on this day waits for you any more.");
    },
  };
}

/** Another day: `step` 1 is the next earlier one that has entries. */
function turn(name: string, step: number): void {
  const known = days.value?.days ?? [];
  const other = known[known.findIndex((each) => each.day === name) + step];
  if (other) go("day", [other.day]);
  else say(step > 0 ? "There is no earlier day." : "There is no later day.", true);
}

function deedsOf(shown: Entry, rows: readonly Row[], next: () => void): Deed[] {
  const [doubt] = shown.withdrawn === null ? shown.doubts : [];
  const hears = shown.attachments.some((each) => each.role !== "photo");
  const always: Deed[] = [
    ...(hears ? [{ key: "l", does: "listen, stop", act: listen }] : []),
    { key: "m", does: marked.value.has(shown.id) ? "take the mark off" : "mark it, to join", act: () => mark(shown.id) },
  ];
  if (shown.withdrawn !== null) {
    return [{ key: "b", does: "bring it back", act: () => void act({ act: "bring_back", entries: [seen(shown)], why: "" }, "It counts again.") }, ...always];
  }
  const chosenRows = rows.filter((row) => marked.value.has(row.id));
  return [
    ...(doubt?.choices ?? []).map((choice, at) => ({ key: String(at + 1), does: `${doubt?.label ?? ""}: ${choice.told}`, act: () => choose(shown, doubt, at + 1) })),
    ...(doubt?.in_words ? [{ key: "t", does: `type the right ${doubt.label}`, act: () => openForm({ kind: "field", field: doubt.field, doubt: true }) }] : []),
    { key: "a", does: "accept it as it stands", act: () => void accept(shown, next) },
    { key: "c", does: "correct a field", act: firstFix },
    { key: "r", does: "say it in other words", act: () => openForm({ kind: "reword" }) },
    { key: "s", does: "split it in two", act: () => openForm({ kind: "split" }) },
    { key: "j", does: "join the marked ones", act: () => { if (chosenRows.length > 1) openForm({ kind: "join", rows: chosenRows }); else say("Mark two entries or more first, with m.", true); } },
    { key: "e", does: "teach a word", act: () => { teach.value = { list: "materials", name: "", said_as: "", known: false, heard: [], sounds: [], entry: shown.id }; } },
    { key: "p", does: "add photos", act: pickPhotos },
    { key: "w", does: "withdraw it", act: () => openForm({ kind: "withdraw" }) },
    ...always,
  ];
}

async function accept(shown: Entry, next: () => void): Promise<void> {
  const done = await act({ act: "accept", entries: [seen(shown)] }, "Accepted.");
  if (done && done.left.length === 0) next();
}

function mark(id: string): void {
  const now = new Set(marked.value);
  if (!now.delete(id)) now.add(id);
  marked.value = now;
  say(now.size > 1 ? `${now.size} entries are marked; j joins them.` : now.size === 1 ? "One entry is marked; mark another to join them." : "No entry is marked.");
}

const firstFix = (): void => document.querySelector<HTMLElement>("[data-fix]")?.focus();

function Heading({ name, rows, acceptAll, count }: { name: string; rows: readonly Row[]; count: number; acceptAll(): void }) {
  const told = days.value;
  const open = rows.filter((row) => row.stands === "open").length;
  const hours = day.value?.hours;
  return (
    <header class="dayhead">
      <div>
        <h1>{weekday(name)} {dayTold(name)}</h1>
        <p class="small">
          {told?.aircraft && `${told.aircraft}, print revision ${told.revision}. `}
          {rows.length} entries: {open} in doubt, {count} not seen yet, {rows.filter((row) => row.stands === "accepted").length} accepted.
        </p>
        {hours && (hours.sessions.length > 0 || hours.remarks.length > 0) && (
          <p class="small">
            Hours: {hours.told || "none"}{hours.sessions.map((each) => `; ${each.from ? `${timeTold(each.from)} to ${timeTold(each.to)}` : "told afterwards:"} ${each.category}, ${each.part} (${each.told}, ${each.author})`)}
            {hours.remarks.map((remark) => <span class="open" key={remark}> {remark}.</span>)}
          </p>
        )}
        <Backlog />
      </div>
      <div class="turns">
        <button onClick={() => turn(name, 1)}><kbd>←</kbd> Earlier day</button>
        <label class="other">Another day <select value={name} onChange={(event) => go("day", [event.currentTarget.value])}>
          {told?.days.map((each) => <option key={each.day} value={each.day}>{dayTold(each.day)}{each.open + each.unseen > 0 ? `, ${each.open + each.unseen} wait` : ""}</option>)}
        </select></label>
        <button onClick={() => turn(name, -1)}>Later day <kbd>→</kbd></button>
        <button onClick={acceptAll} disabled={count === 0}>Accept the {count} not in doubt <kbd>u</kbd></button>
        <button onClick={() => openForm({ kind: "note" })}>Add an entry <kbd>+</kbd></button>
      </div>
    </header>
  );
}
