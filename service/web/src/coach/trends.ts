// Values over days, each with its uncertainty as a bar. The table beside the plot says the same.

import uPlot from "uplot";
import { colour, onNewColours } from "../shared/colours";

interface Trend {
  label: string;
  unit: string;
  /** Seconds since 1970, or plain numbers where they have names. */
  at: number[];
  value: (number | null)[];
  u95: (number | null)[];
  names?: string[];
}

const HEIGHT = 220;

/** Draw every trend on the page, or within a part of it. */
export function drawTrends(within: ParentNode = document): void {
  for (const place of within.querySelectorAll<HTMLElement>(".trend[data-trend]")) {
    if (place.dataset["drawn"]) continue;
    place.dataset["drawn"] = "1";
    draw(place, JSON.parse(place.dataset["trend"] ?? "{}") as Trend);
  }
}

function draw(place: HTMLElement, trend: Trend): void {
  const axis = { stroke: () => colour("soft-ink"), grid: { stroke: () => colour("rule"), width: 1 }, ticks: { stroke: () => colour("rule"), width: 1 } };
  const line = { label: trend.label, stroke: () => colour("measured"), width: 1.5, points: { show: true, size: 8, fill: () => colour("measured") } };
  const ends = trend.value.flatMap((value, i) => (value === null ? [] : [value - (trend.u95[i] ?? 0), value + (trend.u95[i] ?? 0)]));
  const spread = Math.max(...ends) - Math.min(...ends);
  const margin = spread > 0.01 ? 0.08 * spread : 1; // what is the same every time shows no doubt by being drawn large
  const [first = 0, last = 1] = [trend.at[0], trend.at.at(-1)];
  const { names } = trend;
  const edge = names ? 0.5 : Math.max(43_200, (last - first) * 0.04);
  const plot = new uPlot(
    {
      width: Math.max(200, place.clientWidth),
      height: HEIGHT,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: !names, range: [first - edge, last + edge] }, y: { range: [Math.min(...ends) - margin, Math.max(...ends) + margin] } },
      axes: [
        { ...axis, ...(names ? { splits: () => trend.at, values: () => names } : { values: DAYS, space: 70, incrs: STEPS }) },
        { ...axis, size: 64, values: (_plot, ticks) => ticks.map((tick) => `${tick}${trend.unit === "°" ? "" : " "}${trend.unit}`) },
      ],
      series: [{}, line],
      hooks: { draw: [(drawn) => bars(drawn, trend)] },
    },
    [trend.at, trend.value],
    place,
  );
  new ResizeObserver(() => place.clientWidth > 0 && plot.setSize({ width: place.clientWidth, height: HEIGHT })).observe(place);
  onNewColours(() => plot.redraw());
}

/** Between two marks: whole days, in seconds. */
const STEPS = [1, 2, 7, 14, 28, 91, 182, 364].map((days) => days * 86_400);

/** Days by the 24-hour clock, day before month. */
const DAYS = (_plot: uPlot, ticks: number[]) =>
  ticks.map((tick) => new Date(tick * 1000).toLocaleDateString("en-GB", { day: "numeric", month: "short" }));

function bars(plot: uPlot, { at, value, u95 }: Trend): void {
  const pen = plot.ctx;
  const cap = 4 * devicePixelRatio;
  pen.save();
  pen.strokeStyle = colour("measured");
  pen.lineWidth = 1.5 * devicePixelRatio;
  value.forEach((middle, i) => {
    const [moment, doubt] = [at[i], u95[i]];
    if (middle === null || moment === undefined || doubt == null) return;
    const [x, top, bottom] = [plot.valToPos(moment, "x", true), plot.valToPos(middle + doubt, "y", true), plot.valToPos(middle - doubt, "y", true)];
    pen.beginPath();
    pen.moveTo(x, top);
    pen.lineTo(x, bottom);
    for (const y of [top, bottom]) {
      pen.moveTo(x - cap, y);
      pen.lineTo(x + cap, y);
    }
    pen.stroke();
  });
  pen.restore();
}
