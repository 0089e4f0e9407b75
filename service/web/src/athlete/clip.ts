// A clip's page: its stages while it is measured; then the set, looped at a chosen rep, and what can be done with it.

import { ask, told } from "../shared/api";
import { announce, need, show } from "../shared/dom";
import { Overlay, type Stretch } from "../shared/overlay";
import { ClipPlayer } from "../shared/player";
import { loadSeries } from "../shared/series";
import { say } from "../shared/text";
import { addShare } from "./share";
import { measureAgain, watchStages } from "./stages";

interface Effort {
  set: number;
  kind: "rep" | "hold";
  n: number;
  start: number;
  end: number;
  strokes: { part: string; start: number; end: number }[];
}

/** Seconds shown before and after a rep, so that its ends are seen. */
const AROUND = 0.4;

export function openClip(page: HTMLElement): void {
  const { clip, person, state } = page.dataset as { clip: string; person: string; state: string };
  if (state === "waiting" || state === "measuring") watchStages(clip);
  document.querySelector("#measure-again")?.addEventListener("click", () => void measureAgain(clip));
  if (document.querySelector("#efforts")) void openPlayer(clip);
  if (document.querySelector("#share")) addShare(clip);
  addPain(person, clip);
  addDelete(clip);
}

async function openPlayer(clip: string): Promise<void> {
  const efforts = JSON.parse(need("#efforts", HTMLScriptElement).textContent ?? "[]") as Effort[];
  try {
    const series = await loadSeries(clip);
    const video = need("#video", HTMLVideoElement);
    video.src = `/api/v1/clips/${clip}/proxy`;
    const player = new ClipPlayer(video, series.time);
    const overlay = new Overlay(need("#overlay", HTMLCanvasElement), video, series);
    player.onFrame((frame) => overlay.draw(frame));
    addControls(player);
    addReps(efforts, player, overlay);
    show(need("#player", HTMLElement));
  } catch (fault) {
    const note = need("#no-player", HTMLElement);
    note.textContent = say("clip.no_player", { reason: told(fault) });
    show(note);
  }
}

function addReps(efforts: Effort[], player: ClipPlayer, overlay: Overlay): void {
  const buttons = [...document.querySelectorAll<HTMLButtonElement>("button[data-effort]")];
  const choose = (chosen: number, play: boolean): void => {
    const effort = efforts[chosen];
    if (!effort) return;
    buttons.forEach((button, n) => {
      button.setAttribute("aria-pressed", String(n === chosen));
      button.closest("tbody")?.classList.toggle("chosen", n === chosen);
    });
    need("#chosen", HTMLElement).textContent = say(`clip.chosen_${effort.kind}`, { n: effort.n });
    overlay.stretches = stretches(effort);
    player.loop([Math.max(0, effort.start - AROUND), effort.end + AROUND]);
    if (play) void player.video.play();
  };
  buttons.forEach((button, n) =>
    button.addEventListener("click", () => {
      choose(n, true);
      need("#player", HTMLElement).scrollIntoView({ block: "nearest" });
    }),
  );
  player.video.addEventListener("loadedmetadata", () => choose(Math.max(0, firstMissed(buttons)), false), { once: true });
}

/** The rep that there is most to see in. */
function firstMissed(buttons: HTMLButtonElement[]): number {
  return buttons.findIndex((button) => button.dataset["verdict"] === "missed");
}

function stretches(effort: Effort): Stretch[] {
  if (!effort.strokes.length) return [{ name: say("part.hold"), start: effort.start, end: effort.end }];
  return effort.strokes.map((stroke) => ({ name: say(`part.${stroke.part}`), start: stroke.start, end: stroke.end })).sort((a, b) => a.start - b.start);
}

function addControls(player: ClipPlayer): void {
  const { video } = player;
  const play = need("#play", HTMLButtonElement);
  const speed = need("#speed", HTMLSelectElement);
  const label = (): void => {
    play.textContent = say(video.paused ? "clip.play" : "clip.pause");
  };
  video.addEventListener("play", label);
  video.addEventListener("pause", label);
  play.addEventListener("click", () => player.toggle());
  need("#back", HTMLButtonElement).addEventListener("click", () => player.step(-1));
  need("#on", HTMLButtonElement).addEventListener("click", () => player.step(1));
  speed.addEventListener("change", () => {
    video.playbackRate = Number(speed.value);
  });
  need("#player", HTMLElement).addEventListener("keydown", (event) => {
    if (event.target !== video) return;
    const act = { " ": () => player.toggle(), ArrowLeft: () => player.step(-1), ArrowRight: () => player.step(1) }[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
  label();
}

function addPain(person: string, clip: string): void {
  const form = need("#pain form", HTMLFormElement);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const text = need("#hurt", HTMLTextAreaElement).value.trim();
    void act(form, async () => {
      await ask(`/people/${person}/pain`, { method: "POST", body: { text: text || say("clip.pain_plain"), clip } });
      const thanks = need("#pain-told", HTMLElement);
      show(need("#pain", HTMLElement), false);
      show(thanks);
      thanks.focus();
    });
  });
}

function addDelete(clip: string): void {
  const dialog = need("#delete", HTMLDialogElement);
  need("#ask-delete", HTMLButtonElement).addEventListener("click", () => dialog.showModal());
  need("#keep", HTMLButtonElement).addEventListener("click", () => dialog.close());
  need("#really", HTMLButtonElement).addEventListener("click", () => {
    void act(dialog, async () => {
      await ask(`/clips/${clip}`, { method: "DELETE" });
      location.assign("/me");
    });
  });
}

/** Do it once; where it fails, say why beside it. */
async function act(within: HTMLElement, work: () => Promise<void>): Promise<void> {
  const buttons = [...within.querySelectorAll("button")];
  const fault = need(".fault", HTMLElement, within);
  show(fault, false);
  buttons.forEach((button) => (button.disabled = true));
  try {
    await work();
  } catch (error) {
    fault.textContent = told(error);
    show(fault);
    announce(fault.textContent);
  } finally {
    buttons.forEach((button) => (button.disabled = false));
  }
}
