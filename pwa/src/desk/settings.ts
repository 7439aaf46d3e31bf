// The builder's settings, as the shop computer keeps them: the same in every browser that signs in.
import { signal } from "@preact/signals";
import { ask, get } from "./ask";

export interface Settings {
  photo_places: boolean;
  person: string;
  dates: "day_month" | "month_day" | "iso";
  clock: "24" | "12";
  units: "said" | "metric" | "inch";
  /** A unit for one kind of amount, "" for what `units` says. */
  unit_length: string;
  unit_mass: string;
  unit_pressure: string;
  unit_temperature: string;
}

export const settings = signal<Settings>({
  photo_places: false, person: "builder", dates: "day_month", clock: "24", units: "said",
  unit_length: "", unit_mass: "", unit_pressure: "", unit_temperature: "",
});

export async function loadSettings(): Promise<void> {
  settings.value = await get<Settings>("/api/desk/settings");
}

let line: Promise<unknown> = Promise.resolve();

/** Change some, after the changes asked before, so that the last answer is the newest. */
export function changeSettings(part: Partial<Settings>): Promise<void> {
  const mine = line.then(async () => {
    settings.value = await ask<Settings>("PATCH", "/api/desk/settings", part);
  });
  line = mine.catch(() => undefined);
  return mine;
}
