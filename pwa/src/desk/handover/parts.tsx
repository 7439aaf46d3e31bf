// A choice among the parts of the print, each side by itself.
import type { PartName } from "../build/page";

const keyOf = (part: PartName): string => `${part.side} ${part.part}`;

export function Parts({ parts, chosen, choose, legend }: {
  parts: readonly PartName[];
  chosen: readonly PartName[];
  choose(parts: PartName[]): void;
  legend: string;
}) {
  const has = (part: PartName): boolean => chosen.some((each) => keyOf(each) === keyOf(part));
  return (
    <fieldset class="parts">
      <legend>{legend}</legend>
      {parts.map((part) => (
        <label key={keyOf(part)} class="pick">
          <input
            type="checkbox" checked={has(part)}
            onChange={(event) => choose(event.currentTarget.checked ? [...chosen, part] : chosen.filter((each) => keyOf(each) !== keyOf(part)))}
          />
          {part.told}
        </label>
      ))}
    </fieldset>
  );
}

/** The parts as the shop computer takes them. */
export const named = (parts: readonly PartName[]): { part: string; side: string }[] => parts.map(({ part, side }) => ({ part, side }));
