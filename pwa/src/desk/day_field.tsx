// A day, or a day with its time, to be chosen: the browser writes it by its own language, so it stands below as one likes it.
import { dayTold, timeTold } from "./dates";

export function DayField({ label, value, set, time = false }: { label: string; value: string; time?: boolean; set(value: string): void }) {
  return (
    <label>{label}
      <input type={time ? "datetime-local" : "date"} value={value} onInput={(event) => set(event.currentTarget.value)} />
      <span class="small likedday">{value ? `${dayTold(value)}${time ? ` ${timeTold(value)}` : ""}` : ""}</span>
    </label>
  );
}
