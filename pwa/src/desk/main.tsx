// The desk's page: who is signed in, then the pages.
import "../looks.css";
import "./desk.css";
import { render } from "preact";
import { takeUpSession, whyNot } from "./ask";
import { onKey } from "./keys";
import { Desk } from "./shell";

const place = document.getElementById("desk");
const show = (wrong = ""): void => {
  if (place) render(<Desk wrong={wrong} />, place);
};
addEventListener("keydown", onKey);
show();
takeUpSession().catch((problem) => show(whyNot(problem)));
