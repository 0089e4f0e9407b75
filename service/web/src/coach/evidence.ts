// The clip with its overlay, and the plots locked to it: what a coach looks at to rule on a rep.

import { make, need, wantsStillness } from "../shared/dom";
import { Overlay } from "../shared/overlay";
import { ClipPlayer } from "../shared/player";
import { TimePlot, type Plotted } from "../shared/plot";
import { frameAt, loadSeries, speedOf, type Series } from "../shared/series";
import { say } from "../shared/text";
import { placeBoundaries } from "./boundaries";
import { stretchesOf, type Drawn } from "./drawn";

/** Seconds that are shown before and after a rep. */
const AROUND = 0.7;

interface Panel {
  plotted: Plotted;
  plot: TimePlot;
  table: HTMLTableSectionElement;
  now: HTMLTableCellElement;
  angle: string | null;
  movable: boolean;
}

export class Evidence {
  readonly player: ClipPlayer;
  readonly #series: Series;
  readonly #overlay: Overlay;
  readonly #panels: Panel[] = [];
  readonly #onCorrected: (drawn: Drawn) => void;
  #drawn: Drawn | null = null;

  /** Read what was measured of a clip, and show it. Throws an ApiError where there is nothing. */
  static async open(clipId: string, onCorrected: (drawn: Drawn) => void): Promise<Evidence> {
    return new Evidence(await loadSeries(clipId), onCorrected);
  }

  private constructor(series: Series, onCorrected: (drawn: Drawn) => void) {
    this.#series = series;
    this.#onCorrected = onCorrected;
    const video = need("#video", HTMLVideoElement);
    this.player = new ClipPlayer(video, series.time);
    this.#overlay = new Overlay(need("#overlay", HTMLCanvasElement), video, series);
    this.#plots();
    this.#controls();
    this.player.onFrame((frame, time) => this.#show(frame, time));
  }

  /** The stretch of the clip that the plots show. */
  get shown(): [number, number] {
    const { min, max } = this.#panels[0]?.plot.plot.scales["x"] ?? {};
    return min == null || max == null ? this.#around() : [Math.max(0, min), Math.min(this.#last, max)];
  }

  /** Turn to a rep or hold: the clip around it, its strokes, limits and boundaries. */
  turnTo(drawn: Drawn): void {
    this.#drawn = drawn;
    this.#draw();
    for (const { plot, movable } of this.#panels) {
      if (movable) placeBoundaries(plot, this.player, drawn, () => this.#draw(), () => this.#onCorrected(drawn));
    }
    this.loop();
    if (!wantsStillness()) void this.player.video.play().catch(() => undefined);
  }

  /** Loop around the rep, or play the whole clip, as the page's box says. */
  loop(): void {
    this.player.loop(need("#loop", HTMLInputElement).checked ? this.#around() : null);
  }

  /** Draw strokes, limits and tables of the rep. */
  #draw(): void {
    const drawn = this.#drawn;
    if (!drawn) return;
    const stretches = stretchesOf(drawn);
    this.#overlay.stretches = stretches;
    const [from, to] = need("#whole", HTMLInputElement).checked ? [0, this.#last] : this.#around();
    for (const panel of this.#panels) {
      const limits = drawn.limits.filter(({ angle }) => angle === panel.angle);
      panel.plot.show(from, to, stretches, limits);
      panel.table.replaceChildren(...this.#rows(panel, stretches));
    }
  }

  #around(): [number, number] {
    if (!this.#drawn) return [0, this.#last];
    return [Math.max(0, this.#drawn.start - AROUND), Math.min(this.#last, this.#drawn.end + AROUND)];
  }

  get #last(): number {
    return this.#series.time.at(-1) ?? 0;
  }

  #show(frame: number, time: number): void {
    this.#overlay.draw(frame);
    const frames = need("#frames", HTMLInputElement);
    frames.value = String(frame);
    frames.setAttribute("aria-valuetext", say("coach.frame", { time: time.toFixed(2) }));
    need("#moment", HTMLOutputElement).textContent = say("coach.at", { time: time.toFixed(2) });
    for (const panel of this.#panels) {
      panel.plot.moment = time;
      panel.now.textContent = told(panel.plotted, frame);
    }
  }

  #plots(): void {
    const { time, driving, tilt, angles, refusal } = this.#series;
    const place = need("#plots", HTMLElement);
    place.replaceChildren();
    if (refusal) place.append(make("p", { class: "note" }, say("coach.no_angles", { reason: refusal })));
    const names = [...new Set([tilt, driving || "hip"])].filter((name) => angles.has(name));
    for (const name of names) {
      const angle = angles.get(name);
      const label = name === "body" || name === "lean" ? say(`coach.${name}`) : say("coach.angle", { angle: name });
      if (angle) this.#panel(place, { label: capital(label), unit: "°", time, value: angle.value, u95: angle.u95 }, name, name === driving);
    }
    const turning = angles.get(driving);
    if (turning) {
      const label = say("coach.speed", { angle: driving });
      this.#panel(place, { label, unit: "°/s", time, value: speedOf(time, turning.value) }, null, false);
    }
  }

  #panel(place: HTMLElement, plotted: Plotted, angle: string | null, movable: boolean): void {
    const canvas = make("div", { class: "plot", "data-plot": plotted.label });
    const now = make("td", { class: "number now" });
    const table = make("tbody");
    const head = make("tr", {}, cell(say("coach.point")), cell(say("coach.time"), "number"), cell(say(plotted.u95 ? "coach.value" : "coach.speed_value"), "number"));
    const words = say("coach.table", { plot: plotted.label });
    const caption = make("caption", { class: "only-heard" }, words);
    const foot = make("tfoot", {}, make("tr", {}, make("th", { scope: "row", colspan: 2 }, say("coach.now")), now));
    const figures = make("div", { class: "scroll figures", tabindex: 0, role: "region", "aria-label": words }, make("table", {}, caption, make("thead", {}, head), table, foot));
    place.append(make("section", { class: "panel" }, make("h3", {}, plotted.label), canvas, figures));
    const plot = new TimePlot(canvas, plotted, (moment) => {
      this.player.video.pause();
      this.player.seek(moment);
    });
    this.#panels.push({ plotted, plot, table, now, angle, movable });
  }

  /** The values at the ends of the strokes. */
  #rows({ plotted }: Panel, stretches: Drawn["stretches"]): HTMLTableRowElement[] {
    return stretches
      .filter(({ kind }) => kind !== "pause")
      .flatMap(({ name, start, end }) => [
        [say("coach.begins", { part: name }), start] as const,
        [say("coach.ends", { part: name }), end] as const,
      ])
      .map(([words, moment]) =>
        make(
          "tr",
          {},
          make("th", { scope: "row" }, words),
          make("td", { class: "number" }, say("coach.at", { time: moment.toFixed(2) })),
          make("td", { class: "number" }, told(plotted, frameAt(plotted.time, moment))),
        ),
      );
  }

  #controls(): void {
    const { player } = this;
    const frames = need("#frames", HTMLInputElement);
    frames.max = String(this.#series.time.length - 1);
    frames.addEventListener("input", () => {
      player.video.pause();
      player.seekFrame(Number(frames.value));
    });
    const speed = need("#speed", HTMLSelectElement);
    speed.addEventListener("change", () => (player.video.playbackRate = Number(speed.value)));
    player.video.addEventListener("ratechange", () => (speed.value = String(player.video.playbackRate)));
    need("#loop", HTMLInputElement).addEventListener("change", () => this.loop());
    need("#whole", HTMLInputElement).addEventListener("change", () => this.#draw());
    const play = need('[data-do="play"]', HTMLButtonElement);
    play.addEventListener("click", () => player.toggle());
    for (const event of ["play", "pause"]) {
      player.video.addEventListener(event, () => (play.textContent = say(player.video.paused ? "coach.play" : "coach.pause")));
    }
    need('[data-do="back"]', HTMLButtonElement).addEventListener("click", () => player.step(-1));
    need('[data-do="on"]', HTMLButtonElement).addEventListener("click", () => player.step(1));
  }
}

function told({ value, u95, unit }: Plotted, frame: number): string {
  const [is, doubt] = [value[frame] ?? NaN, u95?.[frame] ?? NaN];
  if (!Number.isFinite(is)) return "–";
  return `${(Math.round(10 * is) / 10 || 0).toFixed(1)}${Number.isFinite(doubt) ? ` ±${doubt.toFixed(1)}` : ""}${unit}`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

function cell(words: string, kind = ""): HTMLTableCellElement {
  return make("th", { scope: "col", class: kind }, words);
}
