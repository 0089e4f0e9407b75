// What was measured, drawn over the clip: limbs, the body line, the level or plumb line its angle is taken from, and the stroke.

import type { Series } from "./series";

/** A stretch of the clip, in the words that it is shown with. */
export interface Stretch {
  name: string;
  start: number;
  end: number;
}

/** Limbs, by the joints at their ends. */
const LIMBS = [
  ["shoulder", "elbow"],
  ["elbow", "wrist"],
  ["shoulder", "hip"],
  ["hip", "knee"],
  ["knee", "ankle"],
  ["ankle", "toe"],
] as const;

// Over a clip, whatever its colours: light lines with a dark edge.
const EDGE = "rgb(0 0 0 / 70%)";
const LIMB = "rgb(255 255 255 / 75%)";
const LINE = "#ffd166";
const LEVEL = "#9ad1ff";

export class Overlay {
  #canvas: HTMLCanvasElement;
  #series: Series;
  #stretches: Stretch[] = [];
  #frame = 0;

  /** The canvas must lie over the video and have its shape. */
  constructor(canvas: HTMLCanvasElement, series: Series) {
    this.#canvas = canvas;
    this.#series = series;
    new ResizeObserver(() => this.draw(this.#frame)).observe(canvas);
  }

  /** What is named while it lasts: strokes and pauses. */
  set stretches(stretches: Stretch[]) {
    this.#stretches = stretches;
    this.draw(this.#frame);
  }

  /** Draw what belongs to a frame. */
  draw(frame: number): void {
    this.#frame = frame;
    const canvas = this.#canvas;
    const scale = devicePixelRatio;
    const [width, height] = [canvas.clientWidth, canvas.clientHeight];
    canvas.width = Math.round(width * scale);
    canvas.height = Math.round(height * scale);
    const pen = canvas.getContext("2d");
    if (!pen || width === 0) return;
    pen.scale(scale, scale);
    pen.lineCap = "round";
    if (this.#series.present[frame]) this.#body(pen, frame, width, height);
    this.#strokes(pen, this.#series.time[frame] ?? 0, width, height);
  }

  #body(pen: CanvasRenderingContext2D, frame: number, width: number, height: number): void {
    const series = this.#series;
    const joint = (name: string) => series.joint(frame, series.jointNames.indexOf(name));
    const stroke = (a: [number, number], b: [number, number], colour: string, thick: number, dash: number[] = []) => {
      if (![...a, ...b].every(Number.isFinite)) return;
      for (const [style, wide] of [[EDGE, thick + 2.5], [colour, thick]] as const) {
        pen.beginPath();
        pen.setLineDash(dash);
        pen.strokeStyle = style;
        pen.lineWidth = wide;
        pen.moveTo(a[0] * width, a[1] * height);
        pen.lineTo(b[0] * width, b[1] * height);
        pen.stroke();
      }
    };
    for (const [from, to] of LIMBS) stroke(joint(from), joint(to), LIMB, 2);
    stroke(...series.level(frame), LEVEL, 2, [8, 6]);
    stroke(...series.line(frame), LINE, 4);
  }

  /** A strip along the lower edge: each stroke as long as it lasts, where the clip is now, and the stroke's name and time. */
  #strokes(pen: CanvasRenderingContext2D, now: number, width: number, height: number): void {
    const [first, last] = [this.#stretches[0], this.#stretches.at(-1)];
    if (!first || !last) return;
    const x = (moment: number) => 12 + ((width - 24) * (moment - first.start)) / (last.end - first.start);
    const top = height - 16;
    pen.setLineDash([]);
    pen.fillStyle = EDGE;
    pen.fillRect(0, height - 44, width, 44);
    for (const each of this.#stretches) {
      pen.fillStyle = now >= each.start && now < each.end ? LINE : LIMB;
      pen.fillRect(x(each.start) + 1, top, Math.max(2, x(each.end) - x(each.start) - 2), 8);
    }
    if (now >= first.start && now <= last.end) {
      pen.fillStyle = "white";
      pen.fillRect(x(now) - 1.5, top - 4, 3, 16);
    }
    const lasting = this.#stretches.find((each) => now >= each.start && now < each.end);
    if (!lasting) return;
    pen.fillStyle = "white";
    pen.font = "600 14px system-ui, sans-serif";
    pen.fillText(`${lasting.name} ${(now - lasting.start).toFixed(2)} s`, 12, height - 26);
  }
}
