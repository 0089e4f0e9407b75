// The first page: the line that moves and counts, clips that wait, a clip taken from the phone.

import { announce, need } from "../shared/dom";
import { say } from "../shared/text";
import { type Kept, keep } from "./outbox";
import { Counting, type Pace, drawLine } from "./pace";
import { addPickers } from "./pick";
import { Voice, addMute } from "./voice";
import { Waiting } from "./waiting";

export function openToday(page: HTMLElement): void {
  const voice = new Voice();
  if (document.querySelector("#mute")) addMute(voice);
  const counted: Counting[] = [];
  for (const task of document.querySelectorAll<HTMLElement>("[data-pace]")) counted.push(addCounting(task, voice, counted));

  const person = page.dataset["person"] ?? "";
  const picked = new Set<string>();
  const waiting = new Waiting(person, (clip, kept) => location.assign(picked.has(kept.id) ? `/me/clips/${clip}` : "/me"));
  void waiting.resume();
  addPickers(person, (kept) => {
    picked.add(kept.id);
    void take(kept, waiting);
  });
}

async function take(kept: Kept, waiting: Waiting): Promise<void> {
  try {
    await keep(kept);
  } catch {
    announce(say("send.not_kept"));
  }
  need("#waiting", HTMLElement).scrollIntoView({ block: "center" });
  await waiting.add(kept);
}

function addCounting(task: HTMLElement, voice: Voice, others: Counting[]): Counting {
  const pace = JSON.parse(task.dataset["pace"] ?? "") as Pace;
  const svg = need("svg", SVGElement, task);
  const button = need("button.count-along", HTMLButtonElement, task);
  const label = (): void => {
    button.textContent = say(counting.running ? "pace.stop" : "pace.start");
  };
  const counting = new Counting(pace, voice, need(".count", HTMLElement, task), svg, label);
  drawLine(svg, pace.sketch, pace.starts === "top" ? 1 : 0);
  button.hidden = pace.beats.length === 0;
  button.addEventListener("click", () => {
    const start = !counting.running;
    others.forEach((other) => other.stop());
    if (start) {
      voice.wake();
      counting.start();
    }
    document.querySelectorAll("button.count-along").forEach((each) => (each.textContent = say("pace.start")));
    label();
  });
  return counting;
}
