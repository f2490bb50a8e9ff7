// What stands on the panels, from the station's status. Only what has changed is touched, so that
// neither the focus nor a screen reader is disturbed.

import { WHEN, clockWords, frequencyWords, itemWords, valueWords } from "./words.js";

const part = (id) => document.getElementById(id);

/** Set a text only where it differs. */
export function write(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** An element with a text and attributes. */
function made(kind, text = "", attributes = {}) {
  const element = document.createElement(kind);
  element.textContent = text;
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  return element;
}

/** Lines of a list, made anew only where they differ. */
function list(element, lines) {
  const now = JSON.stringify(lines);
  if (element.dataset.now === now) return;
  element.dataset.now = now;
  element.replaceChildren(...lines.map((line) => made("li", line)));
}

const SESSION = {
  "stand by": "Stand by", "on air": "Session on air", "held": "Session held", "ended": "Stand by",
};

const MILESTONE = { "open": "to come" };  // the other states are said as they are

export class Panels {
  /** `programme`: what /programme tells; `act`: what its buttons do. */
  constructor(programme, act) {
    this.programme = programme;
    this.act = act;
    this.status = null;
    this.shownAt = 0;
    this.showProgramme();
    this.makeSegments();
    this.makeFacts();
  }

  showProgramme() {
    const { programme, callsign, frequency_hz: hertz, plain_voice: plain } = this.programme;
    document.title = `${callsign}: desk`;
    write(part("callsign"), callsign);
    write(part("frequency"), frequencyWords(hertz));
    write(part("programme"), programme);
    part("plain-words").placeholder = plain;
    const place = Math.min(1, Math.max(0, (hertz - 87.5e6) / (108e6 - 87.5e6)));
    part("needle").style.setProperty("--place", place);  // on a dial of the FM band
  }

  // --- made once -------------------------------------------------------------------------------

  makeSegments() {
    this.segments = Object.entries(this.programme.segments).map(([name, about], number) => {
      const button = made("button", name, { "aria-describedby": `about-${number}` });
      button.addEventListener("click", () => this.act.jump(name));
      const mark = made("span", "", { class: "mark" });
      const line = made("li");
      line.append(button, mark, made("span", about, { id: `about-${number}`, class: "about" }));
      return { name, about, line, button, mark };
    });
    part("segments").replaceChildren(...this.segments.map((segment) => segment.line));
  }

  find(words) {
    const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const { name, about, line } of this.segments) {
      const text = `${name} ${about}`.toLowerCase();
      line.hidden = !wanted.every((word) => text.includes(word));
      shown += line.hidden ? 0 : 1;
    }
    return shown;
  }

  makeFacts() {
    this.facts = Object.entries(this.programme.facts).map(([name, takes]) => {
      const line = made("li");
      const [show, ...controls] = this.makeFact(name, takes);
      line.append(...controls);
      return { name, line, show };
    });
    part("facts").replaceChildren(...this.facts.map((fact) => fact.line));
  }

  // What shows a value, then the elements.
  makeFact(name, takes) {
    const label = made("span", name.replaceAll("_", " "), { id: `fact-${name}`, class: "fact" });
    const set = (value) => this.act.set(name, takes.by_hand, value);
    if (takes.type === "boolean") return [...yesOrNo(label, set)];
    return takes.type === "integer" ? number(label, takes, set) : nameOf(label, takes, set);
  }

  // --- how things stand ------------------------------------------------------------------------

  show(status) {
    this.status = status;
    this.shownAt = performance.now();
    this.showSession(status);
    this.showAir(status);
    this.showJump(status);
    this.showHint(status);
    this.showReception(status);
    for (const fact of this.facts) fact.show(status.facts[fact.name]);
    list(part("announcements"), status.announcements);
    part("take-back-announcement").hidden =
      !status.announcements.length && status.on_air?.part !== "announcement";
    this.tick();
  }

  showSession(status) {
    const off = status.station === "closed";
    write(part("state"), off ? "Off air" : SESSION[status.session]);
    document.body.dataset.session = off ? "off air" : status.session;
    for (const button of document.querySelectorAll("[data-in]")) {
      button.hidden = !button.dataset.in.split(",").includes(status.session);
    }
    const milestones = Object.entries(status.milestones);
    list(part("milestones"), milestones.map(([name, state]) => `${name}: ${MILESTONE[state] ?? state}`));
    const stalled = milestones.filter(([, state]) => state === "stalled").map(([name]) => name);
    sign(part("stalled"), stalled.length && status.session !== "ended"
      ? `The team has stalled: ${stalled.join(", ")}` : "");
    sign(part("plain-sign"), status.plain_voice ? "PLAIN VOICE on air" : "");
    part("plain-stop").hidden = !status.plain_voice;
  }

  showAir(status) {
    const item = status.on_air;
    const times = item && item.times > 1 ? `, ${item.time} of ${item.times}` : "";
    write(part("air-part"), item ? `${item.part === "running order" ? item.segment : item.part}${times}` : "");
    write(part("air-text"), item ? itemWords(item) : "The carrier alone.");
    sign(part("air-clue"), item?.clue ? `Clue: ${item.clue}` : "");
    list(part("next"), status.next.map(itemWords));
  }

  showJump(status) {
    const jump = status.jump;
    part("jump-waits").hidden = !jump;
    write(part("jump-words"), jump ? `${jump.segment} waits: ${WHEN[jump.timing]}.` : "");
    for (const { name, button, mark } of this.segments) {
      const onAir = name === status.segment;
      if (onAir) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
      write(mark, onAir ? "on air" : name === jump?.segment ? WHEN[jump.timing] : "");
    }
  }

  showHint({ hint }) {
    write(part("hint-text"), hint ? hint.text : "There is none now.");
    write(part("hint"), hint ? `Give hint ${hint.rung} of ${hint.of}` : "Give the hint");
  }

  showReception({ signal, readability }) {
    const scripted = signal.why === "the script";
    write(part("strength-words"), `now ${signal.strength}, says ${signal.why}`);
    write(part("grade-words"), readability === null ? "as the script says" : `now ${readability}`);
    part("take-back-signal").hidden = signal.why === "the script";
    part("take-back-readability").hidden = readability === null;
  }

  /** Time passes: what moves by itself moves on. */
  tick() {
    const { status, programme } = this;
    if (!status) return;
    const rate = programme.frames_a_second;
    const passed = status.output?.playing ? (performance.now() - this.shownAt) / 1000 : 0;
    const frame = (status.output?.heard_frame ?? 0) + passed * rate;
    const { clock, on_air: item } = status;
    const frames = clock.session_frames + (clock.running ? Math.max(0, frame - clock.frame) : 0);
    const planned = clockWords(programme.session_s);
    write(part("clock"), `${clockWords(frames / rate)} of ${planned}`);
    const length = item ? item.end_frame - item.start_frame : 0;
    const place = length > 0 ? (frame - item.start_frame) / length : 0;
    part("air-progress").value = Math.min(1, Math.max(0, place));
  }
}

function sign(element, words) {
  element.hidden = !words;
  write(element, words);
}

// --- one control for each kind of fact -------------------------------------------------------------

function yesOrNo(label, set) {
  const button = made("button", "no", { "role": "switch", "aria-labelledby": label.id });
  const show = (value) => {
    button.setAttribute("aria-checked", String(value));
    write(button, valueWords(value));
  };
  button.addEventListener("click", () => set(button.getAttribute("aria-checked") !== "true"));
  return [show, label, button];
}

function number(label, takes, set) {
  const name = label.textContent;
  const less = made("button", "−", { "aria-label": `${name}: one less` });
  const more = made("button", "+", { "aria-label": `${name}: one more` });
  const value = made("span", "", { class: "value" });
  const step = (by) => set(Math.min(takes.maximum, Math.max(takes.minimum, Number(value.textContent) + by)));
  less.addEventListener("click", () => step(-1));
  more.addEventListener("click", () => step(1));
  const group = made("span", "", { "role": "group", "aria-labelledby": label.id, "class": "steps" });
  group.append(less, value, more);
  return [(now) => write(value, valueWords(now)), label, group];
}

function nameOf(label, takes, set) {
  const choice = made("select", "", { "aria-labelledby": label.id });
  choice.append(...takes.enum.map((name) => made("option", name)));
  const button = made("button", "Set", { "aria-label": `Set ${label.textContent}` });
  button.addEventListener("click", () => set(choice.value));
  const group = made("span", "", { class: "steps" });
  group.append(choice, button);
  let shown = null;
  const show = (value) => {  // what is being chosen stays, unless the station has something new
    if (value !== shown) choice.value = value;
    shown = value;
  };
  return [show, label, group];
}
