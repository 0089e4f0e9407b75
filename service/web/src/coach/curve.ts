// What one scaling asks over its range, as a plot with a slider under it.

import { TimePlot } from "../shared/plot";
import { need } from "../shared/dom";

interface Curve {
  label: string;
  unit: string;
  knob: string;
  at: number[];
  value: number[];
  u95: number[];
  told: string[];
  texts: string[];
}

/** Draw the curve within a part of the page, if it holds one. */
export function drawCurve(within: ParentNode): void {
  const place = within.querySelector<HTMLElement>("#curve");
  if (!place || place.dataset["drawn"]) return;
  place.dataset["drawn"] = "1";
  const curve = JSON.parse(place.dataset["curve"] ?? "{}") as Curve;
  const slider = need("#knob", HTMLInputElement);
  const at = Float64Array.from(curve.at);
  const plotted = { label: curve.label, unit: " %", xUnit: curve.unit, time: at, value: Float64Array.from(curve.value), u95: Float64Array.from(curve.u95) };
  const plot = new TimePlot(place, plotted, (value) => choose(nearest(at, value)));
  plot.show(at[0] ?? 0, at.at(-1) ?? 1, [], []);
  const choose = (i: number) => {
    slider.value = String(i);
    slider.setAttribute("aria-valuetext", curve.told[i] ?? "");
    plot.moment = at[i] ?? 0;
    need("#asked", HTMLElement).textContent = curve.told[i] ?? "";
    need("#take", HTMLElement).dataset["text"] = curve.texts[i] ?? "";
  };
  slider.addEventListener("input", () => choose(Number(slider.value)));
  choose(Number(slider.value));
}

function nearest(values: Float64Array, wanted: number): number {
  let best = 0;
  values.forEach((value, i) => {
    if (Math.abs(value - wanted) < Math.abs((values[best] ?? Infinity) - wanted)) best = i;
  });
  return best;
}
