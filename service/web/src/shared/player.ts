// A clip locked to the true times of its frames: whoever listens is told of every frame that is shown, and can ask for any.

import { frameAt } from "./series";

type Listener = (frame: number, time: number) => void;

/** A browser may take a frame's time for a little earlier than it is. */
const ROUNDING = 0.002;
const SPEEDS = [0.1, 0.25, 0.5, 1, 2] as const;

export class ClipPlayer {
  readonly video: HTMLVideoElement;
  readonly times: Float64Array;
  /** The frame that is shown. */
  frame = 0;
  #loop: [number, number] | null = null;
  #wanted: number | null = null;
  #listeners: Listener[] = [];

  /**
   * @param video plays the clip's proxy, whose frames have the times of the clip's own
   * @param times of all frames, seconds
   */
  constructor(video: HTMLVideoElement, times: Float64Array) {
    this.video = video;
    this.times = times;
    this.#follow();
    video.addEventListener("seeked", () => {
      this.#show(video.currentTime);
      if (this.#wanted !== null) this.#seekNow(this.#wanted);
    });
    video.addEventListener("ended", () => {
      if (!this.#loop) return;
      this.seek(this.#loop[0]);
      void video.play();
    });
  }

  /** The moment of the frame that is shown. */
  get time(): number {
    return this.times[this.frame] ?? 0;
  }

  /** Be told of every frame that is shown. */
  onFrame(listener: Listener): void {
    this.#listeners.push(listener);
    listener(this.frame, this.time);
  }

  /** Show the frame of a moment. */
  seek(moment: number): void {
    this.seekFrame(frameAt(this.times, moment));
  }

  /** Show a frame. Asked faster than the browser can, it shows the last one that was asked for. */
  seekFrame(frame: number): void {
    const wanted = Math.min(this.times.length - 1, Math.max(0, frame));
    if (this.video.seeking) this.#wanted = wanted;
    else this.#seekNow(wanted);
  }

  /** Go some frames on, or back. Stops the clip. */
  step(frames: number): void {
    this.video.pause();
    // What is shown may be further on than what the browser has told of.
    this.seekFrame((this.#wanted ?? frameAt(this.times, this.video.currentTime + ROUNDING)) + frames);
  }

  /** Play a stretch over and over; null: the whole clip, once. */
  loop(stretch: [number, number] | null): void {
    this.#loop = stretch;
    if (stretch) this.seek(stretch[0]);
  }

  /** Play or pause. */
  toggle(): void {
    if (this.video.paused) void this.video.play();
    else this.video.pause();
  }

  /** Play slower (-1) or faster (+1). */
  faster(steps: number): void {
    const now = SPEEDS.findIndex((speed) => speed >= this.video.playbackRate - 0.01);
    const next = SPEEDS[Math.min(SPEEDS.length - 1, Math.max(0, (now < 0 ? SPEEDS.length - 1 : now) + steps))];
    if (next !== undefined) this.video.playbackRate = next;
  }

  /** A moment within the frame, so that no rounding leads to its neighbour. */
  #seekNow(frame: number): void {
    this.#wanted = null;
    const [start, next] = [this.times[frame] ?? 0, this.times[frame + 1]];
    this.video.currentTime = next === undefined ? start + ROUNDING : (start + next) / 2;
  }

  #follow(): void {
    const video = this.video;
    if ("requestVideoFrameCallback" in video) {
      const shown: VideoFrameRequestCallback = (_now, { mediaTime }) => {
        this.#show(mediaTime);
        video.requestVideoFrameCallback(shown);
      };
      video.requestVideoFrameCallback(shown);
    } else {
      const look = () => {
        if (!this.video.paused) this.#show(this.video.currentTime);
        requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    }
  }

  #show(moment: number): void {
    const frame = frameAt(this.times, moment + ROUNDING);
    if (this.#loop && !this.video.paused && moment >= this.#loop[1]) {
      this.seek(this.#loop[0]);
      return;
    }
    if (frame === this.frame && !this.video.paused) return;
    this.frame = frame;
    for (const listener of this.#listeners) listener(frame, this.time);
  }
}
