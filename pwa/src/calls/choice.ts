// Which clocks call this phone, and when they must not. The phone's own copy; the shop computer gets the same.
import { fact, setFact } from "../keep/db";

export interface Choice {
  /** Whether the shop computer may call when the app is closed. */
  on: boolean;
  kinds: string[];
  /** Minutes of the day from which and until which only pressing clocks call, null for never. */
  quiet: [number, number] | null;
  /** Whether the lock screen may say what a clock is for. */
  detail: boolean;
  /** The shop's key that the subscription was made with, and where it goes. */
  key?: string;
  endpoint?: string;
  /** Whether push services are told an address of the builder's, as far as this phone knows. */
  contact?: boolean;
}

export const KINDS: [name: string, label: string][] = [
  ["pot life", "Pot life"],
  ["cure", "Cure"],
  ["bag off", "Bag off"],
  ["vacuum", "Vacuum reading"],
  ["peel ply", "Peel ply"],
  ["re-coat", "Next coat"],
  ["pump", "Pump left running"],
  ["timer", "Timers of your own"],
];

export const USUAL: Choice = { on: false, kinds: KINDS.map(([name]) => name), quiet: null, detail: false };

const KEPT = "calls";
export const keptChoice = async (): Promise<Choice> => ({ ...USUAL, ...(await fact<Choice>(KEPT)) });
export const keepChoice = (choice: Choice): Promise<void> => setFact(KEPT, choice);

export function isQuiet(choice: Choice, minute: number): boolean {
  if (!choice.quiet) return false;
  const [from, until] = choice.quiet;
  return from <= until ? minute >= from && minute < until : minute >= from || minute < until;
}

/** Whether a clock of this kind may ring now. */
export function mayRing(choice: Choice, kind: string, pressing: boolean, now: Date): boolean {
  if (!choice.kinds.includes(kind)) return false;
  return pressing || !isQuiet(choice, now.getHours() * 60 + now.getMinutes());
}
