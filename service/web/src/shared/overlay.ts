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
  #video: HTMLVideoElement;
  #series: Series;
  #stretches: Stretch[] = [];
  #frame = 0;

  /** The canvas lies over the video; its shape may be another, as beside a clip that was filmed upright. */
  constructor(canvas: HTMLCanvasElement, video: HTMLVideoElement, series: Series) {
    this.#canvas = canvas;
    this.#video = video;
    this.#series = series;
    new ResizeObserver(() => this.draw(this.#frame)).observe(canvas);
    video.addEventListener("loadedmetadata", () => this.draw(this.#frame));
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
    if (this.#series.present[frame]) {
      const [wide, high] = this.#picture(width, height);
      pen.save();
      pen.translate((width - wide) / 2, (height - high) / 2);
      this.#body(pen, frame, wide, high);
      pen.restore();
    }
    this.#strokes(pen, this.#series.time[frame] ?? 0, width, height);
  }

  /** How large the clip's picture stands in the middle of the canvas. */
  #picture(width: number, height: number): [number, number] {
    const { videoWidth, videoHeight } = this.#video;
    if (videoWidth === 0) return [width, height];
    const scale = Math.min(width / videoWidth, height / videoHeight);
    return [videoWidth * scale, videoHeight * scale];
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
