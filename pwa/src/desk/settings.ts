// The builder's settings, as the shop computer keeps them: the same in every browser that signs in.
import { signal } from "@preact/signals";
import { ask, get } from "./ask";

export interface Settings {
  photo_places: boolean;
  person: string;
  dates: "iso" | "day_month" | "month_day";
  units: "said" | "metric" | "inch";
}

export const settings = signal<Settings>({ photo_places: false, person: "builder", dates: "iso", units: "said" });

export async function loadSettings(): Promise<void> {
  settings.value = await get<Settings>("/api/desk/settings");
}

export async function changeSettings(part: Partial<Settings>): Promise<void> {
  settings.value = await ask<Settings>("PATCH", "/api/desk/settings", part);
}
