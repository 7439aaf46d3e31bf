// Links for an inspector: open one for some parts, see which are open and when each was last used, end one.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask, get, whyNot } from "../ask";
import type { PartName } from "../build/page";
import { whenTold } from "../dates";
import { Parts, named } from "./parts";

interface Visit {
  id: string;
  name: string;
  told: string;
  state: "open" | "over" | "revoked";
  expires: string;
  revoked: string | null;
  last_seen: string | null;
  url?: string;
  qr_svg?: string;
  lan?: boolean;
}

export function Visits({ parts }: { parts: readonly PartName[] }) {
  const [visits, setVisits] = useState<Visit[] | null>(null);
  const [fresh, setFresh] = useState<Visit | null>(null);
  const [wrong, setWrong] = useState("");
  const load = (): void => {
    get<{ visits: Visit[] }>("/api/desk/visits").then((came) => setVisits(came.visits), (problem) => setWrong(whyNot(problem)));
  };
  useEffect(load, []);
  const end = (visit: Visit): void => {
    ask<null>("DELETE", `/api/desk/visits/${visit.id}`).then(() => { setFresh((shown) => (shown?.id === visit.id ? null : shown)); load(); }, (problem) => setWrong(whyNot(problem)));
  };
  return (
    <section class="slip">
      <h2>An inspector's look</h2>
      <p>A link that shows the parts you choose, with diagrams, entries and photos, to whoever has it, until its day. It shows nothing else and changes nothing.</p>
      {parts.length === 0 ? <p>There is no print yet, so no part can be named: <code>plytally schedule my-print.yaml</code>.</p>
        : <Open parts={parts} opened={(visit) => { setFresh(visit); setWrong(""); load(); }} failed={setWrong} />}
      {fresh?.url && <Link visit={fresh} url={fresh.url} />}
      <p class="wrong" role="alert">{wrong}</p>
      {visits?.length === 0 && <p>No link was given to anyone yet.</p>}
      {visits && visits.length > 0 && (
        <ul class="lines">
          {visits.map((visit) => <Line key={visit.id} visit={visit} end={() => end(visit)} />)}
        </ul>
      )}
    </section>
  );
}

function Line({ visit, end }: { visit: Visit; end(): void }) {
  const state = visit.state === "open" ? `open until ${whenTold(visit.expires)}` : visit.state === "over" ? `over since ${whenTold(visit.expires)}` : `ended ${whenTold(visit.revoked ?? "")}`;
  return (
    <li class="visit">
      <div>
        <p>{visit.told}, for {visit.name}</p>
        <p class="small">{state}; {visit.last_seen ? `last used ${whenTold(visit.last_seen)}` : "never used"}</p>
      </div>
      {visit.state === "open" && <button onClick={end}>End it<span class="hush"> for {visit.name}, {visit.told}</span></button>}
    </li>
  );
}

function Open({ parts, opened, failed }: { parts: readonly PartName[]; opened(visit: Visit): void; failed(why: string): void }) {
  const [chosen, choose] = useState<PartName[]>([]);
  const [name, setName] = useState("");
  const [days, setDays] = useState("14");
  const open = (event: Event): void => {
    event.preventDefault();
    if (chosen.length === 0) {
      failed("Tick the parts that may be seen.");
      return;
    }
    ask<Visit>("POST", "/api/desk/visits", { name, parts: named(chosen), days: Number(days) }).then(
      (visit) => { choose([]); setName(""); opened(visit); },
      (problem) => failed(whyNot(problem)),
    );
  };
  return (
    <form class="stacked" onSubmit={open}>
      <div class="beside-each-other">
        <label>For whom <input required maxLength={60} value={name} onInput={(event) => setName(event.currentTarget.value)} /></label>
        <label>Days <input type="number" required min={1} max={90} value={days} onInput={(event) => setDays(event.currentTarget.value)} /></label>
      </div>
      <details open={chosen.length > 0 || undefined}>
        <summary>{chosen.length === 0 ? "Choose the parts that may be seen" : `Shows ${chosen.map((part) => part.told).join(", ")}`}</summary>
        <Parts parts={parts} chosen={chosen} choose={choose} legend="Parts that may be seen" />
      </details>
      <button type="submit">Open a link</button>
    </form>
  );
}

function Link({ visit, url }: { visit: Visit; url: string }) {
  const field = useRef<HTMLInputElement>(null);
  const [told, setTold] = useState("");
  useEffect(() => {
    field.current?.focus();
    field.current?.select();
  }, [url]);
  const copy = (): void => {
    navigator.clipboard.writeText(url).then(() => setTold("It is copied."), () => setTold("The browser did not let it be copied: copy the field by hand."));
  };
  return (
    <div class="fresh">
      <label>The link for {visit.name}: it is shown only now <input ref={field} readOnly value={url} /></label>
      <button onClick={copy}>Copy the link</button>
      {visit.lan && visit.qr_svg && (
        <details>
          <summary>Show it as a code to scan</summary>
          <div class="code" role="img" aria-label="the link as a code to scan" dangerouslySetInnerHTML={{ __html: visit.qr_svg }} />
        </details>
      )}
      {!visit.lan && <p>It works on this machine alone: serve with <code>plytally serve --lan</code> for others on your network.</p>}
      <p role="status">{told}</p>
    </div>
  );
}
