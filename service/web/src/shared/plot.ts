// A value against the clip's time: its uncertainty, strokes shaded, limits, a cursor that is the clip's own, and boundaries to drag.

import uPlot from "uplot";
import { colour, onNewColours } from "./colours";
import { make } from "./dom";
import type { Stretch } from "./overlay";

export interface Limit {
  value: number;
  name: string;
}

export interface Plotted {
  label: string;
  unit: string;
  /** Of what it is plotted against; seconds where left out. */
  xUnit?: string;
  time: Float64Array;
  value: Float64Array;
  /** Expanded uncertainty of each value; left out where none is known. */
  u95?: Float64Array;
}

const HEIGHT = 190;
const SHADES = ["lowering", "raising", "hold"] as const;

export class TimePlot {
  readonly plot: uPlot;
  readonly #cursor = make("div", { class: "now", "aria-hidden": "true" });
  #stretches: (Stretch & { kind: string })[] = [];
  #limits: Limit[] = [];
  #placed: (() => void)[] = [];
  #moment = 0;
  #shown: [number, number] | null = null;

  /**
   * @param place holds the plot and gives it its width
   * @param onSeek told which moment a person points at
   */
  constructor(place: HTMLElement, plotted: Plotted, onSeek: (moment: number) => void) {
    this.plot = new uPlot(this.#options(plotted, place.clientWidth), columns(plotted), place);
    this.plot.over.append(this.#cursor);
    this.#point(onSeek);
    new ResizeObserver(() => {
      if (place.clientWidth > 0) this.plot.setSize({ width: place.clientWidth, height: HEIGHT });
      this.#place();
    }).observe(place);
    onNewColours(() => this.plot.redraw());
  }

  /** Where the clip is. */
  set moment(moment: number) {
    this.#moment = moment;
    this.#placeCursor();
  }

  /** Show a part of the clip, with its strokes and limits. */
  show(from: number, to: number, stretches: (Stretch & { kind: string })[], limits: Limit[]): void {
    this.#stretches = stretches;
    this.#limits = limits;
    this.#shown = [from, to];
    this.plot.setScale("x", { min: from, max: to });
    this.plot.redraw(true, true);
    queueMicrotask(() => this.#place()); // uPlot takes the new scale after this turn
  }

  /** Put an element at a moment, and keep it there when the plot changes its size. */
  put(element: HTMLElement, moment: () => number): void {
    this.plot.over.append(element);
    const place = () => {
      element.style.left = `${this.plot.valToPos(moment(), "x")}px`;
    };
    this.#placed.push(place);
    place();
  }

  /** Take away all that was put. */
  clear(selector: string): void {
    this.#placed = [];
    for (const element of this.plot.over.querySelectorAll(selector)) element.remove();
  }

  /** The moment under a pointer. */
  momentAt(event: PointerEvent): number {
    return this.plot.posToVal(event.clientX - this.plot.over.getBoundingClientRect().left, "x");
  }

  #options({ label, unit, xUnit = " s", u95 }: Plotted, width: number): uPlot.Options {
    const ink = () => colour("soft-ink");
    const axis = { stroke: ink, grid: { stroke: () => colour("rule"), width: 1 }, ticks: { stroke: () => colour("rule"), width: 1 } };
    const line = { label, stroke: () => colour("measured"), width: 2, points: { show: false } };
    const edge = { stroke: "transparent", width: 0, points: { show: false } };
    return {
      width: Math.max(width, 200),
      height: HEIGHT,
      legend: { show: false },
      cursor: { show: false },
      scales: { x: { time: false, range: (_plot, low, high) => this.#shown ?? [low, high] }, y: { range: (_plot, low, high) => this.#range(low, high) } },
      axes: [{ ...axis, size: 34, values: (_plot, ticks) => ticks.map((tick) => `${tick}${xUnit}`) }, { ...axis, size: 64, values: (_plot, ticks) => ticks.map((tick) => `${tick}${unit}`) }],
      series: u95 ? [{}, line, edge, edge] : [{}, line],
      ...(u95 ? { bands: [{ series: [2, 3] as [number, number], fill: () => colour("band") }] } : {}),
      hooks: { drawClear: [(plot) => this.#shade(plot)], draw: [(plot) => this.#limit(plot)] },
    };
  }

  /** Limits are shown whole, wherever the values lie. */
  #range(low: number | null, high: number | null): [number, number] {
    const values = [low ?? 0, high ?? 1, ...this.#limits.map((limit) => limit.value)].filter(Number.isFinite);
    const [least, most] = [Math.min(...values), Math.max(...values)];
    const margin = Math.max(1, (most - least) * 0.08);
    const names = this.#stretches.length ? 0.2 * (most - least) : 0; // room below for what the strokes are called
    return [least - margin - names, most + margin];
  }

  /** Strokes differ by shade and by name. */
  #shade(plot: uPlot): void {
    const { ctx: pen, bbox } = plot;
    pen.save();
    pen.beginPath();
    pen.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    pen.clip();
    pen.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
    pen.textAlign = "left";
    pen.textBaseline = "bottom";
    for (const { kind, name, start, end } of this.#stretches) {
      if (!SHADES.some((each) => each === kind)) continue;
      const [from, to] = [plot.valToPos(start, "x", true), plot.valToPos(end, "x", true)];
      pen.fillStyle = colour(kind === "hold" ? "lowering" : kind);
      pen.fillRect(from, bbox.top, to - from, bbox.height);
      pen.fillStyle = colour("soft-ink");
      if (to - from > pen.measureText(name).width + 20 * devicePixelRatio) pen.fillText(name, from + 12 * devicePixelRatio, bbox.top + bbox.height - 4);
    }
    pen.restore();
  }

  #limit(plot: uPlot): void {
    const { ctx: pen, bbox } = plot;
    pen.save();
    pen.strokeStyle = colour("limit");
    pen.lineWidth = 1.5 * devicePixelRatio;
    pen.setLineDash([6 * devicePixelRatio, 4 * devicePixelRatio]);
    pen.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
    pen.textAlign = "right";
    pen.textBaseline = "bottom";
    for (const { value, name } of this.#limits) {
      const y = plot.valToPos(value, "y", true);
      pen.beginPath();
      pen.moveTo(bbox.left, y);
      pen.lineTo(bbox.left + bbox.width, y);
      pen.stroke();
      const wide = pen.measureText(name).width;
      pen.fillStyle = colour("paper"); // so that it is read over whatever it covers
      pen.fillRect(bbox.left + bbox.width - wide - 10, y - 16 * devicePixelRatio, wide + 8, 14 * devicePixelRatio);
      pen.fillStyle = colour("limit");
      pen.fillText(name, bbox.left + bbox.width - 6, y - 2);
    }
    pen.restore();
  }

  #point(onSeek: (moment: number) => void): void {
    const over = this.plot.over;
    const seek = (event: PointerEvent) => {
      if (event.target === over || over.hasPointerCapture(event.pointerId)) onSeek(this.momentAt(event));
    };
    over.addEventListener("pointerdown", (event) => {
      if (event.target !== over) return;
      over.setPointerCapture(event.pointerId);
      seek(event);
    });
    over.addEventListener("pointermove", (event) => {
      if (over.hasPointerCapture(event.pointerId)) seek(event);
    });
  }

  #place(): void {
    for (const place of this.#placed) place();
    this.#placeCursor();
  }

  #placeCursor(): void {
    const { min, max } = this.plot.scales["x"] ?? {};
    this.#cursor.hidden = min == null || max == null || this.#moment < min || this.#moment > max;
    this.#cursor.style.left = `${this.plot.valToPos(this.#moment, "x")}px`;
    this.#cursor.dataset["moment"] = this.#moment.toFixed(4);
  }
}

function columns({ time, value, u95 }: Plotted): uPlot.AlignedData {
  const known = (values: Float64Array) => Array.from(values, (each) => (Number.isFinite(each) ? each : null));
  if (!u95) return [time, known(value)];
  const edge = (sign: number) => known(value.map((each, i) => each + sign * (u95[i] ?? NaN)));
  return [time, known(value), edge(1), edge(-1)];
}
