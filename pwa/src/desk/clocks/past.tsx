// The clocks that ended: how, by whom, how late, and who was called for them.
import { useState } from "preact/hooks";
import { whyNot } from "../ask";
import { dayTold, timeTold } from "../dates";
import { to } from "../way";
import { clocks, type Clocks, type Past } from "./ask";
import { Calls } from "./running";

const HOW: Record<Past["how"], string> = {
  done: "Done",
  noted: "Ended by what was noted",
  scratched: "Scratched",
  lapsed: "Nobody ended it; it was let go",
};

export function Before({ first, devices }: { first: Clocks; devices: Record<string, string> }) {
  const [older, setOlder] = useState<Past[]>([]);
  const [more, setMore] = useState<boolean | null>(null);
  const [wrong, setWrong] = useState("");
  const shown = new Set(first.past.map((each) => each.id));
  const rows = [...first.past, ...older.filter((each) => !shown.has(each.id))];
  const load = (): void => {
    const last = rows[rows.length - 1];
    if (last) {
      clocks(last.started).then(
        (told) => {
          setOlder([...older, ...told.past]);
          setMore(told.more);
        },
        (problem) => setWrong(whyNot(problem)),
      );
    }
  };
  return (
    <section class="slip">
      <h2>Before</h2>
      {rows.length === 0 && <p>No clock has ended yet.</p>}
      <ul class="clocks">{rows.map((each) => <Row key={each.id} past={each} devices={devices} />)}</ul>
      {(more ?? first.more) && <button onClick={load}>Older ones</button>}
      <p class="wrong" role="alert">{wrong}</p>
    </section>
  );
}

function Row({ past, devices }: { past: Past; devices: Record<string, string> }) {
  const name = [past.label, past.place].filter(Boolean).join(", ");
  const where = devices[past.device] ?? past.device;
  const by = where === "the desk" ? " at the desk" : where && ` on ${where}`;
  return (
    <li class="clock">
      <p class="what"><a href={to("day", past.since.slice(0, 10), past.id)}>{name}</a></p>
      <p class="small">
        Started {dayTold(past.since)} {timeTold(past.since)}{past.due && `, due ${dayTold(past.due)} ${timeTold(past.due)}`}.
        {" "}{HOW[past.how]} {dayTold(past.wall)} {timeTold(past.wall)}{by}{past.late && `, ${past.late} late`}{past.line && past.line !== by.trim() && `: ${past.line}`}
      </p>
      <Calls calls={past.calls} devices={devices} />
    </li>
  );
}
