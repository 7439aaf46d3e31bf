// Days and times as the builder likes them; core/likes.py writes them the same way, for sentences and for paper.

export interface Likes {
  dates: "day_month" | "month_day" | "iso";
  clock: "24" | "12";
}

export const USUAL: Likes = { dates: "day_month", clock: "24" };

/** As core/printed.py has them. */
const PRINTED: Record<string, string> = {
  in2: "in²", ft2: "ft²", yd2: "yd²", cm2: "cm²", m2: "m²", "g/m2": "g/m²", "oz/yd2": "oz/yd²",
  "g/cm3": "g/cm³", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³", degF: "°F", degC: "°C", fl_oz: "fl oz",
};

/** A unit's symbol as it is printed. */
export const unitShown = (unit: string): string => PRINTED[unit] ?? unit;

/** A sentence with its units as they are printed: "2 g on 1 in2" has "in²". */
export const unitsPrinted = (text: string): string => text.replace(/(?<=\d )(in2|ft2|yd2|cm2|m2|degF|degC)\b/g, unitShown);

const MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/** A day, "2026-03-21", as one likes it: 2026-03-21, 21 March 2026 or March 21, 2026. */
export function dayLiked({ dates }: Likes, day: string): string {
  const [year = "", month = "", date = ""] = day.slice(0, 10).split("-");
  const name = MONTHS[Number(month) - 1];
  if (!name || dates === "iso") return day.slice(0, 10);
  return dates === "day_month" ? `${Number(date)} ${name} ${year}` : `${name} ${Number(date)}, ${year}`;
}

/** The time on the shop's wall, of "2026-03-21T19:05:00.000-04:00": "19:05", or "7:05 pm"; noon and midnight by name. */
export function timeLiked({ clock: liked }: Likes, wall: string): string {
  const clock = wall.slice(11, 16);
  if (liked === "24" || !clock) return clock;
  const hour = Number(clock.slice(0, 2));
  const half = clock === "00:00" ? "midnight" : clock === "12:00" ? "noon" : hour < 12 ? "am" : "pm";
  return `${hour % 12 || 12}:${clock.slice(3)} ${half}`;
}
