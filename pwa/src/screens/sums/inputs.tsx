// The inputs of a sum, large enough for gloves: a number with its unit beside it, rows of them, a choice, a word.
import type { TargetedEvent } from "preact";
import { type Ask, type Asks, type Card, type Input, isRows } from "../../understand/sums";
import { unitShown, unitsPrinted } from "../../likes";
import { type Field, addRow, cards, rowsOf, setRows } from "../../work/summing";

const usualShown = (usual: string): string => usual.replace(/ (\S+)$/, (_, unit: string) => ` ${unitShown(unit)}`);

/** A hint as it stands in brackets. */
const beside = (hint: string): string => unitsPrinted(hint.replace(/\.$/, "").replace(/^[A-Z](?![A-Z])/, (first) => first.toLowerCase()));

type Set = (field: Field) => void;

export function InputOf({ card, input }: { card: Card; input: Input }) {
  if (isRows(input)) return <Rows card={card} input={input} />;
  const field = rowsOf(card, input)[0]?.[0] ?? { text: "", unit: "" };
  return <One ask={input} id={`${card.name}-${input.name}`} field={field} set={(next) => setRows(card, input, [[next]])} />;
}

function Rows({ card, input }: { card: Card; input: Asks }) {
  const rows = rowsOf(card, input);
  const set = (row: number, column: number, next: Field): void => {
    setRows(card, input, rows.map((fields, at) => (at === row ? fields.map((field, place) => (place === column ? next : field)) : fields)));
  };
  if (input.columns.length <= 2 && !input.columns.some((ask) => ask.signed)) return <Table card={card} input={input} rows={rows} set={set} />;
  return (
    <fieldset class="rows">
      <legend>{input.label}</legend>
      {input.hint && <p class="small">{unitsPrinted(input.hint)}</p>}
      {rows.map((row, at) => (
        <div class="row" key={at} role="group" aria-label={input.most > 1 ? `${input.label}, ${at + 1}` : input.label}>
          {input.most > 1 && <b class="number" aria-hidden="true">{at + 1}</b>}
          <div class="columns">
            {input.columns.map((ask, column) => (
              <One key={ask.name} ask={ask} id={`${card.name}-${input.name}-${at}-${ask.name}`}
                field={row[column] ?? { text: "", unit: "" }} set={(next) => set(at, column, next)} />
            ))}
          </div>
        </div>
      ))}
      {input.most > rows.length && (
        <button type="button" class="glove" onClick={() => addRow(card, input)}>One more</button>
      )}
    </fieldset>
  );
}

/** Two columns stand side by side; each has one unit for all of its rows. */
function Table({ card, input, rows, set }: { card: Card; input: Asks; rows: Field[][]; set(row: number, column: number, next: Field): void }) {
  const unit = (column: number, field: Field): void => {
    setRows(card, input, rows.map((fields) => fields.map((each, place) => (place === column ? { ...each, unit: field.unit } : each))));
  };
  const name = (at: number, ask: Ask): string => (input.most > 1 ? `${ask.label}, ${at + 1}` : ask.label);
  return (
    <fieldset class="rows">
      <legend>{input.label}</legend>
      {input.hint && <p class="small">{unitsPrinted(input.hint)}</p>}
      <div class="table">
        {input.columns.map((ask, column) => (
          <div class="head" key={ask.name}>
            <span>{ask.label}</span>
            {ask.holds === "amount" && <Unit ask={ask} field={rows[0]?.[column] ?? { text: "", unit: "" }} set={(next) => unit(column, next)} />}
          </div>
        ))}
        {rows.map((row, at) => input.columns.map((ask, column) => {
          const field = row[column] ?? { text: "", unit: "" };
          return (
            <div class="cell" key={`${at} ${ask.name}`}>
              <Entry ask={ask} id={`${card.name}-${input.name}-${at}-${ask.name}`} label={name(at, ask)} field={field} set={(next) => set(at, column, next)} />
              <Own narrow ask={ask} set={(next) => set(at, column, next)} />
            </div>
          );
        }))}
      </div>
      {input.most > rows.length && <button type="button" class="glove" onClick={() => addRow(card, input)}>One more</button>}
    </fieldset>
  );
}

function One({ ask, id, field, set }: { ask: Ask; id: string; field: Field; set: Set }) {
  if (ask.holds === "yes") {
    return (
      <label class="pick glove-pick">
        <input type="checkbox" checked={field.text === "yes"} onChange={(event) => set({ ...field, text: event.currentTarget.checked ? "yes" : "no" })} />
        <span>{ask.label}</span>
      </label>
    );
  }
  const usual = ask.usual && ask.holds !== "choice" ? `, else ${usualShown(ask.usual)}` : "";
  return (
    <div class="one">
      <label for={id}>{ask.label}{usual}{ask.hint && ask.hint !== ask.label && <span class="small"> ({beside(ask.hint)})</span>}</label>
      <div class="amount">
        {ask.signed && <Sign label={ask.label} field={field} set={set} />}
        <Entry ask={ask} id={id} field={field} set={set} />
        {ask.holds === "amount" && <Unit ask={ask} field={field} set={set} />}
      </div>
      <Own ask={ask} set={set} />
    </div>
  );
}

const KEYPAD = { amount: "decimal", number: "decimal", count: "numeric", ratio: "text", name: "text" } as const;

function Entry({ ask, id, label, field, set }: { ask: Ask; id: string; label?: string; field: Field; set: Set }) {
  if (ask.holds === "choice") {
    return (
      <select id={id} value={field.text} onChange={(event) => set({ ...field, text: event.currentTarget.value })}>
        {!ask.usual && <option value="">none</option>}
        {ask.choices.map(([choice, meaning]) => <option key={choice} value={choice}>{meaning}</option>)}
      </select>
    );
  }
  return (
    <input
      id={id}
      inputMode={KEYPAD[ask.holds as keyof typeof KEYPAD]}
      autocomplete="off"
      enterkeyhint="done"
      aria-label={label}
      aria-required={ask.needed}
      value={field.text}
      onInput={(event) => set({ ...field, text: event.currentTarget.value })}
    />
  );
}

function Unit({ ask, field, set }: { ask: Ask; field: Field; set: Set }) {
  const change = (event: TargetedEvent<HTMLSelectElement>): void => set({ ...field, unit: event.currentTarget.value });
  return (
    <select aria-label={`unit of ${ask.label}`} value={field.unit} onChange={change}>
      {[...new Set([field.unit, ...ask.units])].map((unit) => <option key={unit} value={unit}>{unitShown(unit)}</option>)}
    </select>
  );
}

/** Keypads for numbers have no minus. */
function Sign({ label, field, set }: { label: string; field: Field; set: Set }) {
  const below = field.text.startsWith("-");
  const turn = (): void => set({ ...field, text: below ? field.text.slice(1) : `-${field.text}` });
  return <button type="button" class="sign" aria-label={`${label}: negative`} aria-pressed={below} onClick={turn}>{below ? "−" : "+"}</button>;
}

/** The builder's own cloths, filled in by one touch. */
function Own({ ask, set, narrow }: { ask: Ask; set: Set; narrow?: boolean }) {
  const known = (cards.value?.cloths ?? []).map((cloth) => ({ name: cloth.name, value: own(ask, cloth) })).filter((each) => each.value);
  if (known.length === 0) return null;
  const take = (event: TargetedEvent<HTMLSelectElement>): void => {
    const [text = "", unit = ""] = ask.holds === "name" ? [event.currentTarget.value] : event.currentTarget.value.split(" ");
    event.currentTarget.value = "";
    set({ text, unit });
  };
  return (
    <select class="own" aria-label={`${ask.label}: from the print`} onChange={take}>
      <option value="">{narrow ? "print …" : "from the print …"}</option>
      {known.map((each) => <option key={each.name} value={each.value}>{each.name === each.value ? each.name : `${each.name}, ${usualShown(each.value)}`}</option>)}
    </select>
  );
}

function own(ask: Ask, cloth: { name: string; weight: string; ply: string }): string {
  if (ask.measures === "areal weight" && ask.name === "weight") return cloth.weight;
  if (ask.name === "per_ply") return cloth.ply;
  return ask.name === "material" ? cloth.name : "";
}
