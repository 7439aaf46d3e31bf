// Finding: words and filters on top, what was found below; the whole question stands in the address.
import "./find.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { get, whyNot } from "./ask";
import { dayTold, timeTold } from "./dates";
import { STANDS } from "./day/list";
import type { Stands } from "./day/shapes";
import { DayField } from "./day_field";
import { useKeys } from "./keys";
import { go, to } from "./way";

interface FoundRow {
  number: string;
  id: string;
  day: string;
  wall: string;
  author: string;
  stands: Stands;
  photos: number;
  line: string;
}

interface Answer {
  rows: FoundRow[];
  count: number;
  more: string | null;
}

const wide = matchMedia("(min-width: 60rem)");
const MOST_COUNTED = 1000;
const FILTERS = [
  ["at", "Touched the place", "left elevator spar"], ["material", "Material", "BID"], ["batch", "Batch", "714"], ["resin", "Resin", "epoxy"], ["face", "Face", "aft"], ["author", "Noted by", "builder"],
] as const;
const KINDS = ["laid", "mixed", "bagged", "vacuum", "bag_off", "clamped", "bonded", "cured", "peeled", "trimmed", "sanded", "drilled", "measured", "weighed", "mounted", "checked", "shop_air", "started", "stopped", "spent", "photo", "worked", "note", "clock", "to_do", "to_answer"];

const asQuery = (asked: Record<string, string>): string =>
  new URLSearchParams(Object.entries(asked).filter(([, value]) => value !== "")).toString();

export function Find({ rest }: { rest: readonly string[] }) {
  const asked = Object.fromEntries(new URLSearchParams(rest[0] ?? ""));
  const query = asQuery(asked);
  const [answer, setAnswer] = useState<Answer | null>(null);
  const [wrong, setWrong] = useState("");
  const words = useRef<HTMLInputElement>(null);
  const list = useRef<HTMLOListElement>(null);
  useEffect(() => {
    if (!query) words.current?.focus();
  }, []);
  useEffect(() => {
    let stale = false;
    const timer = setTimeout(() => {
      get<Answer>(`/api/desk/find?${query}`).then(
        (found) => { if (!stale) { setAnswer(found); setWrong(""); } },
        (problem) => { if (!stale) setWrong(whyNot(problem)); },
      );
    }, 120);
    return () => {
      stale = true;
      clearTimeout(timer);
    };
  }, [query]);
  const change = (name: string, value: string): void => go("find", [asQuery({ ...asked, [name]: value })], true);
  const step = (by: number): void => {
    const links = [...(list.current?.querySelectorAll<HTMLElement>("a.found") ?? [])];
    const at = links.indexOf(document.activeElement as HTMLElement);
    links[Math.min(Math.max(at + by, 0), links.length - 1)]?.focus();
  };
  useKeys("Finding", [
    { key: "i", does: "into the words", act: () => words.current?.focus() },
    { key: "ArrowDown", does: "next of what was found", act: () => step(1) },
    { key: "ArrowUp", does: "the one before", act: () => step(-1) },
    { key: "x", does: "ask anew, without words and filters", act: () => { go("find", [], true); words.current?.focus(); } },
  ]);
  const older = async (): Promise<void> => {
    if (!answer?.more) return;
    try {
      const next = await get<Answer>(`/api/desk/find?${asQuery({ ...asked, before: answer.more })}`);
      setAnswer({ ...next, count: answer.count, rows: [...answer.rows, ...next.rows] });
    } catch (problem) {
      setWrong(whyNot(problem));
    }
  };
  return (
    <div class="finding">
      <h1>Find in all the years</h1>
      <form class="slip" role="search" aria-label="What to find" onSubmit={(event) => { event.preventDefault(); step(1); }}
        onKeyDown={(event) => { if (event.key === "ArrowDown" && event.target === words.current) { event.preventDefault(); step(1); } }}>
        <label class="words">Words, anywhere in an entry or in what it said before
          <input ref={words} type="search" autocomplete="off" maxLength={200} value={asked["words"] ?? ""} onInput={(event) => change("words", event.currentTarget.value)} />
        </label>
        <details open={wide.matches || Object.keys(asked).some((name) => name !== "words")}>
          <summary>Filters</summary>
          <div class="filters">
            {FILTERS.map(([name, label, hint]) => (
              <label key={name}>{label} <input value={asked[name] ?? ""} maxLength={200} placeholder={hint} autocomplete="off" onInput={(event) => change(name, event.currentTarget.value)} /></label>
            ))}
            <label>Kind <select value={asked["kind"] ?? ""} onChange={(event) => change("kind", event.currentTarget.value)}>
              <option value="">any</option>{KINDS.map((kind) => <option key={kind} value={kind}>{kind.replace("_", " ")}</option>)}
            </select></label>
            <label>How it stands <select value={asked["stands"] ?? ""} onChange={(event) => change("stands", event.currentTarget.value)}>
              <option value="">any way</option>{Object.entries(STANDS).map(([name, { word }]) => <option key={name} value={name}>{word}</option>)}
            </select></label>
            <DayField label="From" value={asked["first_day"] ?? ""} set={(value) => change("first_day", value)} />
            <DayField label="To" value={asked["last_day"] ?? ""} set={(value) => change("last_day", value)} />
            <label class="pick"><input type="checkbox" checked={asked["photos"] === "yes"} onChange={(event) => change("photos", event.currentTarget.checked ? "yes" : "")} /> with a photo</label>
          </div>
        </details>
      </form>
      <p role="status" class={wrong ? "wrong" : "told"}>{wrong || countTold(answer, query !== "")}</p>
      <ol class="foundlist" ref={list}>
        {answer?.rows.map((row) => (
          <li key={row.number}>
            <a class="found" href={to("day", row.day, row.id)}>
              <span class="when">{dayTold(row.day)} {timeTold(row.wall)}</span>
              <span class="sign" aria-hidden="true">{STANDS[row.stands].sign}</span>
              <span><b class={row.stands === "withdrawn" ? "gone" : ""}>{row.line}</b> <span class="small">{STANDS[row.stands].word}, {row.author}{row.photos > 0 && (row.photos === 1 ? ", photo" : `, ${row.photos} photos`)}</span></span>
            </a>
          </li>
        ))}
      </ol>
      {answer?.more && <button onClick={() => void older()}>Show older ones</button>}
    </div>
  );
}

function countTold(answer: Answer | null, asked: boolean): string {
  if (!answer) return "Looking …";
  if (answer.count === 0) return asked ? "Nothing fits all of this. Take a filter away, or use fewer words; only the last word may be cut short." : "Nothing is in the log yet.";
  if (answer.count > MOST_COUNTED) return `More than ${MOST_COUNTED} entries, the latest first.`;
  return answer.count === 1 ? "One entry." : `${answer.count} entries, the latest first.`;
}
