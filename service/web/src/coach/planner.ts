// The planner: slide the body angle or the band, see what it asks, and prescribe from there.

import { need } from "../shared/dom";
import htmx from "../shared/htmx";
import { drawCurve } from "./curve";
import { drawTrends } from "./trends";

export function startPlanner(): void {
  htmx.on("htmx:afterSwap", (event) => {
    if (!(event.target instanceof HTMLElement)) return;
    drawTrends(event.target);
    drawCurve(event.target);
  });
  document.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-text]") : null;
    if (button) prescribe(button.dataset["text"] ?? "");
  });
  drawCurve(document);
}

/** Put a prescription into the form, for the coach to look at and send. */
function prescribe(text: string): void {
  const field = document.querySelector("#prescribe textarea");
  if (!(field instanceof HTMLTextAreaElement)) return;
  field.value = text;
  field.focus();
  need("#prescribe", HTMLElement).scrollIntoView({ block: "center" });
}
