// How far the measuring of a clip is, told live; then the page shows what came of it.

import { ask, askJson } from "../shared/api";
import { announce, need } from "../shared/dom";
import { say } from "../shared/text";

interface Progress {
  state: string;
  stage: string | null;
  progress: number;
}

const FINAL = ["measured", "refused", "failed"];
const POLL = 2000;
/** Lost connections in a row after which it is asked for instead. */
const PATIENCE = 3;
const STAGES = ["fetching", "making a copy to look at", "following the athlete", "keeping"];

export function watchStages(clip: string): void {
  const events = new EventSource(`/api/v1/clips/${clip}/events`);
  let lost = 0;
  events.addEventListener("progress", (event) => {
    lost = 0;
    tell(JSON.parse(event.data) as Progress);
  });
  events.addEventListener("end", () => {
    events.close();
    location.reload();
  });
  events.addEventListener("error", () => {
    lost += 1;
    if (events.readyState !== EventSource.CLOSED && lost < PATIENCE) return;
    events.close();
    void poll(clip);
  });
}

async function poll(clip: string): Promise<void> {
  for (;;) {
    try {
      const now = await askJson<Progress>(`/clips/${clip}`);
      if (FINAL.includes(now.state)) break;
      tell(now);
    } catch {
      need("#stage", HTMLElement).textContent = say("stages.lost");
    }
    await new Promise((resolve) => setTimeout(resolve, POLL));
  }
  location.reload();
}

let told = "";

function tell({ state, stage, progress }: Progress): void {
  const known = stage === null ? -1 : STAGES.indexOf(stage);
  const name = state === "waiting" || stage === null ? say("stages.waiting") : known < 0 ? stage : say(`stages.stage_${known}`);
  need("#bar", HTMLProgressElement).value = progress;
  need("#stage", HTMLElement).textContent = say("stages.now", { stage: name, percent: Math.round(100 * progress) });
  for (const [n, item] of [...document.querySelectorAll("#stages li")].entries()) {
    item.className = n < known ? "done" : n === known ? "now" : "";
    if (n === known) item.setAttribute("aria-current", "step");
    else item.removeAttribute("aria-current");
  }
  if (name !== told) announce(name);
  told = name;
}

/** Ask for another measuring. */
export async function measureAgain(clip: string): Promise<void> {
  await ask(`/clips/${clip}/measure`, { method: "POST", body: {} });
  location.reload();
}
