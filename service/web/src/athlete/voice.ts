// Says words aloud, or sounds a plain tone where the phone has no voice.

import { need } from "../shared/dom";
import { say } from "../shared/text";

const MUTED = "plumbrep.muted";
const HIGH = 880;
const LOW = 440;
const TONE_SECONDS = 0.09;

/** One voice for the page. Browsers let it sound only after the first tap: call `wake` there. */
export class Voice {
  private tones: AudioContext | null = null;
  private silent = localStorage.getItem(MUTED) === "yes";

  get muted(): boolean {
    return this.silent;
  }

  set muted(muted: boolean) {
    this.silent = muted;
    localStorage.setItem(MUTED, muted ? "yes" : "no");
    if (muted) globalThis.speechSynthesis?.cancel();
  }

  wake(): void {
    if (typeof AudioContext === "undefined") return;
    this.tones ??= new AudioContext();
    void this.tones.resume();
  }

  /** Say a word; `strong` sounds a higher tone where there is no voice. */
  say(word: string, strong = false): void {
    if (this.silent || word === "") return;
    if (hasVoice()) speak(word);
    else this.sound(strong ? HIGH : LOW);
  }

  private sound(pitch: number): void {
    if (this.tones?.state !== "running") return;
    const { currentTime, destination } = this.tones;
    const tone = this.tones.createOscillator();
    const loudness = this.tones.createGain();
    tone.frequency.value = pitch;
    loudness.gain.setValueAtTime(0.3, currentTime);
    loudness.gain.exponentialRampToValueAtTime(0.001, currentTime + TONE_SECONDS);
    tone.connect(loudness).connect(destination);
    tone.start();
    tone.stop(currentTime + TONE_SECONDS);
  }
}

function hasVoice(): boolean {
  return (globalThis.speechSynthesis?.getVoices().length ?? 0) > 0;
}

function speak(word: string): void {
  speechSynthesis.cancel(); // a late word is worse than none
  const said = new SpeechSynthesisUtterance(word);
  said.lang = document.documentElement.lang;
  said.rate = 1.2;
  speechSynthesis.speak(said);
}

/** The button that turns the sound off and on, and the key M. */
export function addMute(voice: Voice): void {
  const button = need("#mute", HTMLButtonElement);
  const toggle = (muted: boolean): void => {
    voice.muted = muted;
    button.setAttribute("aria-pressed", String(muted));
    button.textContent = say(muted ? "pace.sound_off" : "pace.sound_on");
  };
  toggle(voice.muted);
  button.addEventListener("click", () => toggle(!voice.muted));
  document.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() !== "m" || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return;
    toggle(!voice.muted);
  });
}
