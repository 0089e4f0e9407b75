// The ends of a rep's strokes on a plot, moved by mouse, by touch or by the arrow keys, from frame to frame.

import { make } from "../shared/dom";
import type { ClipPlayer } from "../shared/player";
import type { TimePlot } from "../shared/plot";
import { frameAt } from "../shared/series";
import { say } from "../shared/text";
import { stretchesOf, type Drawn } from "./drawn";

/** A person who holds an arrow key has finished so many milliseconds after the last step. */
const SETTLED = 600;
const LARGE_STEP = 5;

/**
 * Put a handle at each end of a stroke.
 *
 * @param onMove told while one moves, so that strokes can be drawn anew
 * @param onSettle told when it has come to rest
 */
export function placeBoundaries(plot: TimePlot, player: ClipPlayer, drawn: Drawn, onMove: () => void, onSettle: () => void): void {
  plot.clear(".boundary");
  const names = Object.keys(drawn.boundaries).sort((a, b) => (drawn.boundaries[a] ?? 0) - (drawn.boundaries[b] ?? 0));
  for (const name of names) place(name);

  function place(name: string): void {
    const [stroke = "", end] = name.split(".");
    const words = stretchesOf(drawn).find((each) => each.kind === stroke)?.name ?? stroke;
    const label = say(end === "start" ? "coach.begins" : "coach.ends", { part: words });
    const handle = make("div", { class: `boundary ${end}`, role: "slider", tabindex: 0, title: label, "aria-label": label, "data-boundary": name });
    const at = () => drawn.moved[name] ?? drawn.boundaries[name] ?? 0;
    let settling = 0;

    const tell = () => {
      handle.ariaValueMin = String(drawn.start);
      handle.ariaValueMax = String(drawn.end);
      handle.ariaValueNow = at().toFixed(3);
      handle.ariaValueText = say("coach.at", { time: at().toFixed(2) });
      handle.classList.toggle("moved", name in drawn.moved);
    };
    const move = (moment: number) => {
      const frame = frameAt(player.times, allowed(name, moment));
      drawn.moved[name] = player.times[frame] ?? moment;
      player.seekFrame(frame);
      tell();
      onMove();
    };
    handle.addEventListener("pointerdown", (event) => {
      handle.setPointerCapture(event.pointerId);
      handle.focus();
      event.preventDefault();
    });
    handle.addEventListener("pointermove", (event) => {
      if (handle.hasPointerCapture(event.pointerId)) move(plot.momentAt(event));
    });
    handle.addEventListener("lostpointercapture", () => {
      if (name in drawn.moved) onSettle();
    });
    handle.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
      if (way === undefined) return;
      event.preventDefault();
      event.stopPropagation();
      const steps = way * (event.shiftKey ? LARGE_STEP : 1);
      const frame = nearest(player.times, at()) + steps;
      move(player.times[Math.min(player.times.length - 1, Math.max(0, frame))] ?? at());
      clearTimeout(settling);
      settling = window.setTimeout(onSettle, SETTLED);
    });
    tell();
    plot.put(handle, at);
  }

  /** Boundaries follow one another. */
  function allowed(name: string, moment: number): number {
    const i = names.indexOf(name);
    const at = (other: string | undefined) => (other === undefined ? undefined : (drawn.moved[other] ?? drawn.boundaries[other]));
    return Math.min(at(names[i + 1]) ?? Infinity, Math.max(at(names[i - 1]) ?? 0, moment));
  }
}

/** The frame whose time lies nearest. */
function nearest(times: Float64Array, moment: number): number {
  const frame = frameAt(times, moment);
  const [before, after] = [times[frame] ?? -Infinity, times[frame + 1] ?? Infinity];
  return after - moment < moment - before ? frame + 1 : frame;
}
