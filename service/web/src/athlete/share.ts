// Shares a result by the phone's own means, to whom the athlete chooses. Nothing leaves otherwise.

import { ask, told } from "../shared/api";
import { need, show } from "../shared/dom";
import { say } from "../shared/text";

export function addShare(clip: string): void {
  const text = need("#share-text", HTMLTextAreaElement);
  const state = need("#share-state", HTMLElement);
  const tell = (words: string): void => {
    state.textContent = words;
  };
  const numbers = need("#share-numbers", HTMLButtonElement);
  numbers.addEventListener("click", () => void shareText(text, tell));
  const video = need("#share-clip", HTMLButtonElement);
  let file: File | null = null;
  show(video, canShareFiles());
  video.addEventListener("click", () => {
    void (async () => {
      try {
        file ??= await fetchClip(clip, tell);
        await navigator.share({ files: [file], text: text.value });
        tell("");
      } catch (fault) {
        // Fetching took longer than browsers let a tap count; the clip is at hand for the next one.
        if (fault instanceof DOMException) tell(fault.name === "NotAllowedError" ? say("share.ready") : "");
        else tell(told(fault));
      }
    })();
  });
}

function canShareFiles(): boolean {
  const probe = new File([""], "clip.mp4", { type: "video/mp4" });
  return !!navigator.canShare?.({ files: [probe] });
}

async function fetchClip(clip: string, tell: (words: string) => void): Promise<File> {
  tell(say("share.fetching"));
  const response = await ask(`/clips/${clip}/proxy`);
  return new File([await response.blob()], "clip.mp4", { type: "video/mp4" });
}

async function shareText(text: HTMLTextAreaElement, tell: (words: string) => void): Promise<void> {
  if (navigator.share) {
    await navigator.share({ text: text.value }).catch(() => undefined); // the athlete changed their mind
    return;
  }
  try {
    await navigator.clipboard.writeText(text.value);
    tell(say("share.copied"));
  } catch {
    show(need("#share-by-hand", HTMLElement));
    text.select();
    tell(say("share.by_hand"));
  }
}
