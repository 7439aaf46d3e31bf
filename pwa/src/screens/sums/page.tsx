// The sums of the shop, each a slip of paper: a few large inputs, the answer with its working, and "keep it".
import "./sums.css";
import { useEffect, useRef } from "preact/hooks";
import * as state from "../../state";
import { type Card, isRows } from "../../understand/sums";
import * as summing from "../../work/summing";
import { Answered } from "./answer";
import { InputOf } from "./inputs";

export function Sums() {
  const power = state.mindPower.value.kind;
  useEffect(() => {
    if (power === "on") void summing.learn();
  }, [power]);
  const known = summing.cards.value;
  if (!known) return <div class="pages"><section><p role="status">{waiting()}</p></section></div>;
  const card = known.cards.find((each) => each.name === summing.open.value);
  return <div class="pages sums">{card ? <Slip key={card.name} card={card} /> : <All cards={known.cards} />}</div>;
}

function waiting(): string {
  const power = state.mindPower.value;
  return power.kind === "off" ? `This phone cannot do sums: ${power.why}.` : "Getting the sums ready: a few seconds, the first time up to a minute.";
}

function All({ cards }: { cards: Card[] }) {
  const subjects = [...new Set(cards.map((card) => card.subject))];
  return (
    <>
      <p class="small">The plans, the kit manual, local rules and your inspector decide. These sums help you plan.</p>
      {subjects.map((subject) => (
        <section key={subject} class="subject">
          <h2>{subject}</h2>
          <div class="stack">
            {cards.filter((card) => card.subject === subject).map((card) => (
              <button key={card.name} class="ply" onClick={() => summing.goTo(card.name)}>{card.title}</button>
            ))}
          </div>
        </section>
      ))}
    </>
  );
}

function Slip({ card }: { card: Card }) {
  const inputs = card.inputs.filter((input) => isRows(input) || !input.hidden);
  const often = inputs.filter((input) => !input.rare);
  const rare = inputs.filter((input) => input.rare);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const go = (event: Event): void => {
    event.preventDefault();
    void summing.workOut(card);
  };
  return (
    <>
      <div class="ways">
        <button class="glove" onClick={() => summing.goTo("")}>All sums</button>
        <button class="glove" onClick={() => summing.empty(card)}>Empty it</button>
      </div>
      <section>
        <h2 ref={title} tabIndex={-1}>{card.title}</h2>
        <p class="small">{card.says}</p>
        <form onSubmit={go} noValidate>
          {often.map((input) => <InputOf key={input.name} card={card} input={input} />)}
          {rare.length > 0 && (
            <details class="rare">
              <summary>More to give, if you have it</summary>
              {rare.map((input) => <InputOf key={input.name} card={card} input={input} />)}
            </details>
          )}
          <button class="glove work-out" type="submit">Work it out</button>
        </form>
      </section>
      <Answered card={card} />
    </>
  );
}
