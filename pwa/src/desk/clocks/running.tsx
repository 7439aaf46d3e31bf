// One running clock: how much is left or how late it is, who was called for it, and its two answers.
import { useEffect, useRef } from "preact/hooks";
import { dayTold, timeTold } from "../dates";
import { to } from "../way";
import type { Call, Running } from "./ask";
import { wallAt } from "./times";

const two = (number: number): string => String(number).padStart(2, "0");

/** "9:58", "2 h 05", "3 days", of whatever sign. */
export function spanTold(millis: number): string {
  const seconds = Math.abs(Math.round(millis / 1000));
  if (seconds < 3600) return `${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
  if (seconds < 48 * 3600) return `${Math.floor(seconds / 3600)} h ${two(Math.floor(seconds / 60) % 60)}`;
  return `${Math.round(seconds / 86_400)} days`;
}

const minutesLate = (clock: Running, now: number): string =>
  clock.due !== null && clock.due <= now ? `late by ${spanTold(now - clock.due)}` : "";

interface Props {
  clock: Running;
  now: number;
  chosen: boolean;
  devices: Record<string, string>;
  choose(): void;
  act(what: "done" | "later"): void;
}

export function RunningRow({ clock, now, chosen, devices, choose, act }: Props) {
  const here = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (chosen) here.current?.scrollIntoView({ block: "nearest" });
  }, [chosen]);
  const late = minutesLate(clock, now);
  const name = [clock.label, clock.place].filter(Boolean).join(", ");
  return (
    <li ref={here} class={["clock", late && "late", chosen && "chosen"].filter(Boolean).join(" ")} aria-current={chosen ? "true" : undefined} onFocusIn={choose}>
      <p class="what"><a href={to("day", wallAt(clock.since, clock.offset_min).slice(0, 10), clock.id)}>{name}</a></p>
      <p class="left">{clock.due === null ? "until when was not said" : late || `${spanTold(clock.due - now)} left`}</p>
      <p class="small">
        {clock.due !== null && `Until ${whenAt(clock.due, clock.offset_min, now)}. `}
        {clock.why}
      </p>
      <Calls calls={clock.calls} devices={devices} none={late ? "No phone was called for it yet." : ""} />
      <p class="row">
        <button class={late ? "chief" : ""} aria-label={`Done: ${name}`} onClick={() => act("done")}>Done</button>
        <button aria-label={`10 minutes later: ${name}`} onClick={() => act("later")}>10 minutes later</button>
      </p>
    </li>
  );
}

function whenAt(millis: number, offset: number, now: number): string {
  const [wall, today] = [wallAt(millis, offset), wallAt(now, offset)];
  return wall.slice(0, 10) === today.slice(0, 10) ? timeTold(wall) : `${timeTold(wall)} on ${dayTold(wall)}`;
}

/** Which device was called, when by its wall, and how that came about. */
export function Calls({ calls, devices, none = "" }: { calls: Call[]; devices: Record<string, string>; none?: string }) {
  if (calls.length === 0) return none ? <p class="small">{none}</p> : null;
  return (
    <ul class="small calls">
      {calls.map((each) => (
        <li key={`${each.device} ${each.wall}`}>{devices[each.device] ?? each.device}, {dayTold(each.wall)} {timeTold(each.wall)}: {each.why || "called"}</li>
      ))}
    </ul>
  );
}
