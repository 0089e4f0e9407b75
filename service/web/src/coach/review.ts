// Ruling on the reps of a set, one after the other, by keys or by buttons.

import { ask, told } from "../shared/api";
import { announce, need, show } from "../shared/dom";
import htmx from "../shared/htmx";
import { say } from "../shared/text";
import { drawnNow, type Drawn } from "./drawn";
import { Evidence } from "./evidence";
import { listen } from "./keys";
import { noteMissing, ruleOn, takeBack, type Word } from "./rulings";

interface Listed {
  id: number;
  fault: string;
  blind: boolean;
  waits: boolean;
}

export function startReview(): void {
  const place = document.querySelector("#review");
  if (place instanceof HTMLElement) void new Review(place).start();
}

class Review {
  readonly #set: string;
  readonly #clip: string;
  readonly #next: string;
  #evidence: Evidence | null = null;
  /** What was last ruled here, for the rest of its group. */
  #last: Word | null = null;
  #busy: Promise<void> = Promise.resolve();

  constructor(place: HTMLElement) {
    this.#set = place.dataset["set"] ?? "";
    this.#clip = place.dataset["clip"] ?? "";
    this.#next = place.dataset["next"] ?? "/review";
    place.addEventListener("click", (event) => this.#click(event));
    place.addEventListener("submit", (event) => this.#submit(event));
  }

  async start(): Promise<void> {
    listen({
      rule: (word, all) => this.#do(() => this.#rule(word, all)),
      sameForGroup: () => this.#do(() => this.#sameForGroup()),
      undo: () => this.#do(() => this.#undo()),
      go: (steps) => this.#do(() => this.#go(steps)),
      note: () => need("#note-text", HTMLTextAreaElement).focus(),
      evidence: () => this.#evidence,
    });
    if (!document.querySelector("#video")) return;
    try {
      this.#evidence = await Evidence.open(this.#clip, (drawn) => this.#do(() => this.#correct(drawn)));
      this.#evidence.turnTo(drawnNow());
    } catch (fault) {
      need("#plots", HTMLElement).replaceChildren();
      const place = need("#evidence-fault", HTMLElement);
      place.textContent = say("coach.gone", { reason: told(fault) });
      show(place);
    }
  }

  /** One thing after the other, however fast the keys come. */
  #do(what: () => Promise<void>): void {
    this.#busy = this.#busy.then(what).catch((fault: unknown) => this.#tell(told(fault)));
  }

  #tell(message: string): void {
    announce(message);
    need("#last", HTMLElement).textContent = message;
  }

  get #listed(): Listed[] {
    return [...document.querySelectorAll<HTMLElement>("#efforts [data-effort]")].map(({ dataset }) => ({
      id: Number(dataset["effort"]),
      fault: dataset["fault"] ?? "",
      blind: dataset["blind"] === "1",
      waits: dataset["waits"] === "1",
    }));
  }

  get #now(): Listed {
    const id = Number(need("#effort", HTMLElement).dataset["effort"]);
    const found = this.#listed.find((each) => each.id === id);
    if (!found) throw new Error("the rep is not in the list");
    return found;
  }

  async #rule(word: Word, all: boolean): Promise<void> {
    const now = this.#now;
    const name = need("#effort", HTMLElement).dataset["name"] ?? "";
    if (word === "missing rep") return this.#missing(now);
    const mates = all ? this.#mates(now).filter((each) => each.id !== now.id) : [];
    await ruleOn(this.#clip, this.#set, [now.id, ...mates.map((each) => each.id)], word);
    this.#last = word;
    if (now.blind) {
      await this.#turn(now.id);
      this.#tell(say("coach.blind_shown", { what: name, ruling: word }));
      return;
    }
    await this.#on(mates.length ? say("coach.group_ruled", { n: mates.length + 1, ruling: word }) : say("coach.ruled", { what: name, ruling: word }));
  }

  async #missing(now: Listed): Promise<void> {
    const stretch = this.#evidence?.shown;
    if (!stretch) return;
    await noteMissing(this.#clip, this.#set, now.id, stretch);
    this.#tell(say("coach.missing", { from: stretch[0].toFixed(2), to: stretch[1].toFixed(2) }));
  }

  /** The ruling given last, for all that wait with the fault of the rep that is shown. */
  async #sameForGroup(): Promise<void> {
    if (!this.#last) return this.#tell(say("coach.nothing_before"));
    const group = this.#mates(this.#now).filter((each) => each.waits);
    if (!group.length) return this.#tell(say("coach.no_group"));
    await ruleOn(this.#clip, this.#set, group.map((each) => each.id), this.#last);
    await this.#on(say("coach.group_ruled", { n: group.length, ruling: this.#last }));
  }

  /** What is wrong with a blind one is not known, so it has no group. */
  #mates(now: Listed): Listed[] {
    return now.blind ? [] : this.#listed.filter((each) => !each.blind && each.fault === now.fault && (each.waits || each.id === now.id));
  }

  /** To the next that waits in this set, else to the next set. */
  async #on(message: string): Promise<void> {
    const listed = this.#listed;
    const here = listed.findIndex((each) => each.id === this.#now.id);
    await this.#refresh(this.#now.id);
    const waiting = this.#listed.filter((each) => each.waits);
    const next = waiting.find((each) => this.#listed.findIndex(({ id }) => id === each.id) > here) ?? waiting[0];
    if (!next) return void location.assign(this.#next);
    await this.#turn(next.id);
    this.#tell(message + this.#title());
  }

  async #go(steps: number): Promise<void> {
    const listed = this.#listed;
    const to = listed[listed.findIndex((each) => each.id === this.#now.id) + steps];
    if (to) await this.#turn(to.id);
    else if (steps > 0) location.assign(this.#next);
    if (to) announce(this.#title());
  }

  async #undo(): Promise<void> {
    const where = await takeBack();
    if (!where) return this.#tell(say("coach.nothing_to_take_back"));
    if (where.set !== this.#set) return void location.assign(`/review/${where.set}?effort=${where.effort}`);
    await this.#turn(where.effort);
    this.#tell(say("coach.taken_back"));
  }

  async #correct({ id, moved }: Drawn): Promise<void> {
    await ask(`/efforts/${id}/corrections`, { method: "POST", body: { boundaries: moved } });
    await this.#refresh(id);
    this.#tell(say("coach.corrected"));
  }

  /** Show a rep: what is known of it, and the clip around it. */
  async #turn(id: number): Promise<void> {
    await this.#refresh(id);
    this.#evidence?.turnTo(drawnNow());
    history.replaceState(null, "", `/review/${this.#set}?effort=${id}`);
  }

  async #refresh(id: number): Promise<void> {
    const panel = need("#effort", HTMLElement);
    const hadFocus = panel.contains(document.activeElement);
    await htmx.ajax("get", `/review/${this.#set}/efforts/${id}`, { target: "#effort", swap: "outerHTML" });
    if (hadFocus) need("#effort-title", HTMLElement).focus();
  }

  #title(): string {
    return need("#effort-title", HTMLElement).textContent ?? "";
  }

  #click(event: Event): void {
    const target = event.target instanceof Element ? event.target : null;
    const ruling = target?.closest<HTMLElement>("[data-rule]")?.dataset["rule"];
    if (ruling) this.#do(() => this.#rule(ruling as Word, false));
    const link = target?.closest<HTMLElement>("a[data-effort]");
    if (!link || !(event instanceof MouseEvent) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    this.#do(() => this.#turn(Number(link.dataset["effort"])));
  }

  #submit(event: Event): void {
    if (!(event.target instanceof HTMLFormElement) || event.target.id !== "note") return;
    event.preventDefault();
    const text = need("#note-text", HTMLTextAreaElement).value.trim();
    if (!text) return;
    this.#do(async () => {
      const { id } = this.#now;
      await ask("/notes", { method: "POST", body: { text, effort: id }, once: crypto.randomUUID() });
      await this.#refresh(id);
      this.#tell(say("coach.kept"));
    });
  }
}
