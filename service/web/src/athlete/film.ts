// Filming in the page: open the camera, set up, count down, record, look at it, send it.

import { announce, need, show } from "../shared/dom";
import { say } from "../shared/text";
import { Camera, type Recorded } from "./camera";
import { type Kept, keep, newKept } from "./outbox";
import { Counting, type Pace } from "./pace";
import { addPickers } from "./pick";
import { type Tilt, TiltRecorder, mayTellTilt } from "./tilt";
import { Voice, addMute } from "./voice";
import { Waiting } from "./waiting";

type Step = "closed" | "refused" | "ready" | "countdown" | "running" | "review" | "sending";

/** Degrees within which the phone counts as level, and beyond which the lens looks too far up or down. */
const LEVEL = 1;
const STEEP = 20;
/** Seconds between the start of the recording and the first beat that is counted. */
const SETTLE = 2;

export function openFilm(page: HTMLElement): void {
  new Film(page);
}

class Film {
  private readonly preview = need("#preview", HTMLVideoElement);
  private readonly replay = need("#replay", HTMLVideoElement);
  private readonly clock = need("#clock", HTMLElement);
  private readonly voice = new Voice();
  private readonly tilt = new TiltRecorder((tilt) => this.showTilt(tilt));
  private readonly person: string;
  private readonly waiting: Waiting;
  private readonly limit: number;
  private readonly pace: Pace | null;
  private camera: Camera | null = null;
  private counting: Counting | null = null;
  private timers: number[] = [];
  private kept: Kept | null = null;
  private sent = "";
  private lock: WakeLockSentinel | null = null;

  constructor(private readonly page: HTMLElement) {
    const { person, seconds, pace } = page.dataset;
    this.person = person ?? "";
    this.limit = Number(seconds);
    this.pace = pace ? (JSON.parse(pace) as Pace) : null;
    // A clip of earlier that arrives meanwhile must not end what is being filmed.
    this.waiting = new Waiting(this.person, (clip, { id }) => id === this.sent && location.assign(`/me/clips/${clip}`));
    void this.waiting.resume();
    addMute(this.voice);
    addPickers(this.person, (kept) => void this.send(kept));
    this.on("#open", () => void this.open());
    this.on("#retry", () => void this.open());
    this.on("#begin", () => this.countDown());
    this.on("#cancel", () => this.cancel());
    this.on("#stop", () => this.camera?.finish());
    this.on("#send", () => this.kept && void this.send(this.kept));
    this.on("#again", () => void this.again());
    this.go(Camera.possible ? "closed" : "refused");
    if (!Camera.possible) need("#why", HTMLElement).textContent = say("film.impossible");
  }

  private on(selector: string, act: () => void): void {
    need(selector, HTMLButtonElement).addEventListener("click", act);
  }

  private go(step: Step): void {
    this.page.dataset["step"] = step;
    for (const part of this.page.querySelectorAll<HTMLElement>("[data-steps]")) {
      show(part, part.dataset["steps"]?.split(" ").includes(step));
    }
    this.page.querySelector<HTMLElement>(`[data-first="${step}"]`)?.focus();
  }

  private async open(): Promise<void> {
    this.voice.wake();
    const tells = mayTellTilt(); // before anything is waited for: iOS asks only within the tap
    try {
      this.camera = await Camera.open(this.preview);
    } catch (fault) {
      const denied = fault instanceof DOMException && ["NotAllowedError", "SecurityError"].includes(fault.name);
      need("#why", HTMLElement).textContent = say(denied ? "film.denied" : "film.no_camera");
      this.go("refused");
      return;
    }
    this.go("ready");
    const told = await tells;
    if (this.tilt.latest) this.showTilt(this.tilt.latest); // a phone that stands still tells it once
    else if (!told) need("#level", HTMLElement).textContent = say("film.no_sensor");
  }

  private showTilt({ roll, pitch }: Tilt): void {
    if (!this.camera) return;
    const off = Math.abs(roll);
    const side = off < LEVEL ? "level" : roll > 0 ? "turn_left" : "turn_right";
    const lens = Math.abs(pitch) < STEEP ? "" : say(pitch > 0 ? "film.looks_up" : "film.looks_down");
    need("#level", HTMLElement).textContent = [say(`film.${side}`, { degrees: off.toFixed(0) }), lens].filter(Boolean).join(" ");
    need("#horizon", SVGGElement).setAttribute("transform", `rotate(${(-roll).toFixed(1)} 50 50)`);
    show(need("#horizon-sheet", HTMLElement));
  }

  private countDown(): void {
    show(need("#nothing", HTMLElement), false);
    this.go("countdown");
    let left = Number(need("#delay", HTMLSelectElement).value);
    const tick = (): void => {
      if (left === 0) {
        void this.run();
        return;
      }
      this.clock.textContent = String(left);
      if (left <= 5) this.voice.say(String(left));
      left -= 1;
      this.after(1, tick);
    };
    tick();
  }

  private async run(): Promise<void> {
    const camera = this.camera;
    if (!camera) return;
    this.go("running");
    this.voice.say(say("film.begin"), true);
    this.lock = (await navigator.wakeLock?.request("screen").catch(() => null)) ?? null;
    const began = performance.now();
    const recorded = camera.record();
    if (camera.rear) this.tilt.start();
    this.timers.push(
      setInterval(() => {
        this.clock.textContent = say("film.clock", { now: Math.floor((performance.now() - began) / 1000), most: this.limit });
      }, 250),
    );
    this.after(this.limit, () => camera.finish());
    if (this.pace?.beats.length && need("#aloud", HTMLInputElement).checked) this.after(SETTLE, () => this.count());
    try {
      await this.review(await recorded);
    } catch {
      this.quiet();
      this.go("ready");
      announce(say("script.fault"));
    }
  }

  private count(): void {
    if (!this.pace) return;
    this.counting = new Counting(this.pace, this.voice, need("#count", HTMLElement), null, () => undefined);
    this.counting.start();
  }

  private async review({ clip, begun, u, ended, filmed }: Recorded): Promise<void> {
    this.quiet();
    const track = this.tilt.stop(begun, u, ended);
    if (clip.size === 0) {
      this.go("ready");
      show(need("#nothing", HTMLElement));
      return;
    }
    const { what, plan } = this.page.dataset;
    this.kept = { ...newKept(this.person, what ?? "", plan ?? "", clip, filmed.toISOString()), track };
    this.replay.src = URL.createObjectURL(clip);
    this.voice.say(say("film.stopped"), true);
    this.go("review");
  }

  private async again(): Promise<void> {
    URL.revokeObjectURL(this.replay.src);
    this.replay.removeAttribute("src");
    this.kept = null;
    this.go("ready");
  }

  private async send(kept: Kept): Promise<void> {
    this.camera?.close();
    this.camera = null;
    this.sent = kept.id;
    this.go("sending");
    try {
      await keep(kept);
    } catch {
      announce(say("send.not_kept"));
      show(need("#not-kept", HTMLElement));
    }
    await this.waiting.add(kept);
  }

  private cancel(): void {
    this.quiet();
    this.go("ready");
  }

  /** End everything that ticks. */
  private quiet(): void {
    this.timers.forEach((timer) => clearTimeout(timer));
    this.timers = [];
    this.counting?.stop();
    this.counting = null;
    this.clock.textContent = "";
    void this.lock?.release();
    this.lock = null;
  }

  private after(seconds: number, act: () => void): void {
    this.timers.push(setTimeout(act, seconds * 1000));
  }
}
