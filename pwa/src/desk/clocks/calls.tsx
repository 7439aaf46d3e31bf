// Whom the shop computer calls, what each phone chose, and the address that push services are told.
import { useState } from "preact/hooks";
import { whyNot } from "../ask";
import { setContact, type Called } from "./ask";

const two = (number: number): string => String(number).padStart(2, "0");
const clock = (minute: number): string => `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;

export function Whom({ phones, devices }: { phones: Called[]; devices: Record<string, string> }) {
  return (
    <section class="slip">
      <h2>Whom the shop computer calls</h2>
      {phones.length === 0 && <p>No phone asked to be called. It does so on its page <i>Shop</i>, <i>Clocks that call</i>.</p>}
      <ul class="clocks">
        {phones.map((phone) => (
          <li key={phone.device} class="clock">
            <p class="what">{devices[phone.device] ?? phone.device}</p>
            <p class="small">
              For: {phone.kinds.join(", ") || "nothing"}. {phone.quiet ? `Quiet from ${clock(phone.quiet[0])} until ${clock(phone.quiet[1])}, but for a pot life.` : "No quiet hours."}
              {" "}{phone.detail ? "Its lock screen shows what a clock is for." : "Its lock screen shows only that a clock is due."}
            </p>
            {!phone.active && <p class="wrong">Its push service ended the subscription; opening the app renews it.</p>}
            {phone.alarm && <p class="wrong">{phone.alarm}</p>}
          </li>
        ))}
      </ul>
    </section>
  );
}

export function Contact({ contact, placeholder, changed }: { contact: string; placeholder: string; changed(): void }) {
  const [typed, setTyped] = useState<string | null>(null);
  const [told, setTold] = useState({ text: "", wrong: false });
  const keep = async (event: Event): Promise<void> => {
    event.preventDefault();
    try {
      const kept = await setContact(typed ?? contact);
      setTyped(null);
      setTold({ text: kept.contact ? `Push services are told ${kept.contact}.` : "Push services are told no address of yours.", wrong: false });
      changed();
    } catch (problem) {
      setTold({ text: whyNot(problem), wrong: true });
    }
  };
  return (
    <section class="slip">
      <h2>Your address for push services</h2>
      <p>
        The services that carry calls to closed apps want an address to write to when something goes wrong with them.
        {contact ? "" : ` Without one they are told ${placeholder}, which nobody reads: some refuse such calls, and none can warn you.`}
      </p>
      <form class="stacked" onSubmit={(event) => void keep(event)}>
        <label>mailto: or https: <input type="text" maxLength={200} value={typed ?? contact} onInput={(event) => setTyped(event.currentTarget.value)} /></label>
        <button type="submit">Keep it</button>
      </form>
      <p class={told.wrong ? "wrong" : ""} role="status">{told.text}</p>
    </section>
  );
}
