// Days and times as the builder likes them; the offset from UTC is kept and shown with every time.
import { dayLiked, timeLiked } from "../likes";
import { settings } from "./settings";

const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];

export const dayTold = (day: string): string => dayLiked(settings.value, day);

export const weekday = (day: string): string => WEEKDAYS[new Date(`${day.slice(0, 10)}T00:00:00Z`).getUTCDay()] ?? "";

export const timeTold = (wall: string): string => timeLiked(settings.value, wall);

/** How that clock lay to UTC: "UTC-04:00". */
export const offsetTold = (wall: string): string => `UTC${/(Z|[+-]\d\d:\d\d)$/.exec(wall)?.[1]?.replace("Z", "+00:00") ?? ""}`;

export const whenTold = (wall: string): string => `${dayTold(wall)} ${timeTold(wall)} ${offsetTold(wall)}`;
