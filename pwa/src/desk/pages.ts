// The pages of the desk, in the order of the tags at the top. Another page joins with one line.
import type { ComponentType } from "preact";
import { TheBuild } from "./build/page";
import { TheClocks } from "./clocks/page";
import { TheDay } from "./day/page";
import { Find } from "./find";
import { Habits } from "./habits";
import { Phones } from "./phones";
import { HandOver } from "./handover/page";
import { ThePrint } from "./print/page";

export interface Page {
  /** Its name in the address. */
  name: string;
  /** What stands on its tag, and how it is announced. */
  label: string;
  /** The key that opens it, a capital letter. */
  key: string;
  Screen: ComponentType<{ rest: readonly string[] }>;
}

export const PAGES: readonly Page[] = [
  { name: "day", label: "The day", key: "D", Screen: TheDay },
  { name: "clocks", label: "Clocks", key: "C", Screen: TheClocks },
  { name: "find", label: "Find", key: "F", Screen: Find },
  { name: "print", label: "The print", key: "P", Screen: ThePrint },
  { name: "build", label: "The build", key: "B", Screen: TheBuild },
  { name: "handover", label: "Hand over", key: "O", Screen: HandOver },
  { name: "phones", label: "Phones", key: "T", Screen: Phones },
  { name: "habits", label: "Habits", key: "H", Screen: Habits },
];
