// The pace of a prescription: where a rep is at each moment, what is counted aloud, and the line that moves along.

import { need, wantsStillness } from "../shared/dom";
import { say } from "../shared/text";
import type { Voice } from "./voice";

export interface Beat {
  part: "lowering" | "bottom_pause" | "raising" | "top_pause" | "hold" | "back";
  seconds: number;
  fast: boolean;
}

/** The line at the top and at the bottom, on a sheet of 100 by 60: the end that it turns about, and its direction from there. */
export interface Sketch {
  end: "feet" | "shoulders";
  x: number;
  top_y: number;
  bottom_y: number;
  length: number;
  top: number;
  bottom: number;
}

export interface Pace {
  beats: Beat[];
  times: number;
  starts: "top" | "bottom";
  sketch: Sketch;
  film_seconds: number;
}

export interface Moment {
  rep: number;
  beat: Beat;
  /** Which beat of all, counted through; tells when one begins. */
  index: number;
  /** Seconds since the beat began. */
  into: number;
  /** 0 at the bottom, 1 at the top. */
  height: number;
}

/** Where the athlete should be; null when all is done. */
export function momentAt(pace: Pace, seconds: number): Moment | null {
  const length = pace.beats.reduce((sum, beat) => sum + beat.seconds, 0);
  const rep = Math.floor(seconds / length);
  if (length === 0 || rep >= pace.times) return null;
  let into = seconds - rep * length;
  for (const [place, beat] of pace.beats.entries()) {
    if (into < beat.seconds) {
      return { rep: rep + 1, beat, index: rep * pace.beats.length + place, into, height: height(pace, beat, into) };
    }
    into -= beat.seconds;
  }
  return null;
}

function height(pace: Pace, beat: Beat, into: number): number {
  const share = into / beat.seconds;
  switch (beat.part) {
    case "lowering":
      return 1 - share;
    case "raising":
    case "back":
      return share;
    case "bottom_pause":
      return 0;
    case "top_pause":
      return 1;
    case "hold":
      return pace.starts === "top" ? 1 : 0;
  }
}

/** What is said when a second of a beat begins: its name, then 2, 3, ...; a hold is told every five seconds. */
export function spoken(beat: Beat, second: number): string {
  if (second === 0) return say(`pace.voice.${beat.part}`);
  if (beat.part === "hold") return second % 5 === 0 ? String(second) : "";
  return second < beat.seconds ? String(second + 1) : "";
}

/** Draws the line into a sketch: an SVG with `.body` and `.shoulders`. */
export function drawLine(svg: Element, sketch: Sketch, at: number): void {
  const y = sketch.bottom_y + (sketch.top_y - sketch.bottom_y) * at;
  const angle = ((sketch.bottom + (sketch.top - sketch.bottom) * at) * Math.PI) / 180;
  const end = { x: sketch.x + sketch.length * Math.cos(angle), y: y - sketch.length * Math.sin(angle) };
  place(need(".body", SVGLineElement, svg), { x1: sketch.x, y1: y, x2: end.x, y2: end.y });
  const shoulders = sketch.end === "shoulders" ? { x: sketch.x, y } : end;
  place(need(".shoulders", SVGCircleElement, svg), { cx: shoulders.x, cy: shoulders.y });
}

function place(element: SVGElement, values: Record<string, number>): void {
  for (const [name, value] of Object.entries(values)) element.setAttribute(name, value.toFixed(2));
}

/** Counts a set: moves the line, writes the numbers, lets the voice speak. */
export class Counting {
  private frame = 0;
  private begun = 0;
  private said = "";

  constructor(
    private readonly pace: Pace,
    private readonly voice: Voice,
    private readonly numbers: HTMLElement,
    private readonly svg: Element | null,
    private readonly done: () => void,
  ) {}

  get running(): boolean {
    return this.frame !== 0;
  }

  start(): void {
    this.begun = performance.now();
    this.said = "";
    this.tick();
  }

  stop(): void {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
    this.numbers.textContent = "";
    if (this.svg) drawLine(this.svg, this.pace.sketch, this.pace.starts === "top" ? 1 : 0);
  }

  private tick = (): void => {
    const moment = momentAt(this.pace, (performance.now() - this.begun) / 1000);
    if (moment === null) {
      this.stop();
      this.voice.say(say("pace.voice.done"), true);
      this.done();
      return;
    }
    this.show(moment);
    this.frame = requestAnimationFrame(this.tick);
  };

  private show(moment: Moment): void {
    const second = Math.floor(moment.into);
    const { part, seconds, fast } = moment.beat;
    const now = `${moment.index} ${second}`;
    if (this.svg && !wantsStillness()) drawLine(this.svg, this.pace.sketch, moment.height);
    if (now === this.said) return;
    this.said = now;
    const word = say(`pace.part.${part}`);
    const count = fast ? say("pace.fast") : say("pace.count", { second: second + 1, seconds: Math.ceil(seconds) });
    const rep = this.pace.times > 1 ? say("pace.rep", { rep: moment.rep, times: this.pace.times }) : "";
    this.numbers.replaceChildren(strong(`${word} ${count}`), rep);
    this.voice.say(spoken(moment.beat, second), second === 0);
  }
}

function strong(text: string): HTMLElement {
  const made = document.createElement("strong");
  made.textContent = text;
  return made;
}
