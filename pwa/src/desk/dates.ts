// Days and times as the builder likes them; the offset from UTC is kept and shown with every time.
// core/likes.py writes them the same way, for what comes from the shop computer and for paper.
import { settings } from "./settings";

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];

/** A day, "2026-03-21", as one likes it: 2026-03-21, 21 March 2026 or March 21, 2026. */
export function dayTold(day: string): string {
  const [year = "", month = "", date = ""] = day.slice(0, 10).split("-");
  const name = MONTHS[Number(month) - 1];
  if (!name || settings.value.dates === "iso") return day.slice(0, 10);
  return settings.value.dates === "day_month" ? `${Number(date)} ${name} ${year}` : `${name} ${Number(date)}, ${year}`;
}

export const weekday = (day: string): string => WEEKDAYS[new Date(`${day.slice(0, 10)}T00:00:00Z`).getUTCDay()] ?? "";

/** The time on the shop's wall, of "2026-03-21T19:05:00.000-04:00": "19:05", or "7:05 pm"; noon and midnight by name. */
export function timeTold(wall: string): string {
  const clock = wall.slice(11, 16);
  if (settings.value.clock === "24" || !clock) return clock;
  const hour = Number(clock.slice(0, 2));
  const half = clock === "00:00" ? "midnight" : clock === "12:00" ? "noon" : hour < 12 ? "am" : "pm";
  return `${hour % 12 || 12}:${clock.slice(3)} ${half}`;
}

/** How that clock lay to UTC: "UTC-04:00". */
export const offsetTold = (wall: string): string => `UTC${/(Z|[+-]\d\d:\d\d)$/.exec(wall)?.[1]?.replace("Z", "+00:00") ?? ""}`;

export const whenTold = (wall: string): string => `${dayTold(wall)} ${timeTold(wall)} ${offsetTold(wall)}`;
