// The desk page: what its buttons do, and what is said when the station answers.

import { Panels, write } from "./panels.js";
import { Problem, Station } from "./station.js";
import { WHEN, sentenceOf, valueWords } from "./words.js";

const LONGEST_LOG = 200;
const MOST_SAID = 2;

const part = (id) => document.getElementById(id);
const station = new Station(askToken);
let panels = null;
let caughtUp = false;  // whether all that was missed has been heard: old news is not said aloud
let started = null;  // a frame, and the time of day at which it was heard

// --- saying and asking -----------------------------------------------------------------------------

/** Say a sentence, on the screen and to a screen reader; the one before stays for a while. */
function say(sentence) {
  const said = part("said");
  if (said.lastChild?.textContent === sentence) return;  // the station confirms what was asked
  const line = document.createElement("p");
  line.textContent = sentence;
  said.append(line);
  while (said.children.length > MOST_SAID) said.firstChild.remove();
}

function closed(dialog) {
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => resolve(dialog.returnValue), { once: true });
  });
}

/** Ask before something grave. */
async function sure(question) {
  const dialog = part("question");
  write(part("question-words"), question);
  dialog.returnValue = "no";
  dialog.showModal();
  return (await closed(dialog)) === "yes";
}

async function askToken(wrong) {
  const dialog = part("ask-token");
  write(part("token-title"), wrong ? "That is not the station’s token" : "The station asks for its token");
  for (;;) {
    dialog.showModal();
    await closed(dialog);
    const token = part("token").value.trim();
    part("token").value = "";
    if (token) return token;
  }
}

// --- orders ----------------------------------------------------------------------------------------

async function order(method, path, body, sentence) {
  try {
    await station.call(method, path, body);
    say(sentence);
    return true;
  } catch (error) {
    say(error instanceof Problem ? error.message : "There is no line to the station.");
    return false;
  }
}

const act = {
  set: (name, path, value) =>
    order("PUT", path, { value }, `${name} is to be ${valueWords(value)}.`),

  async jump(segment) {
    const timing = document.querySelector("input[name=timing]:checked").value;
    const clue = panels.status?.on_air?.clue;
    const cuts = timing === "now" && clue;
    if (cuts && !(await sure(`Jump to ${segment} now, and cut the clue “${clue}”?`))) return;
    const transition = part("transition").value || null;
    await order("POST", "/jump", { segment, timing, transition }, `Jump to ${segment}, ${WHEN[timing]}.`);
  },
};

const SESSION_ORDERS = {
  start: ["The session is to begin."],
  hold: ["The session is held after this item."],
  resume: ["The session is to go on."],
  end: ["The session is to end.", "End the session?"],
  reset: ["All is made ready for the next team.", "Reset all for the next team?"],
  restore: ["The session is to come back."],
};

function wire() {
  for (const button of document.querySelectorAll("[data-order]")) {
    const [sentence, question] = SESSION_ORDERS[button.dataset.order];
    button.addEventListener("click", async () => {
      if (question && !(await sure(question))) return;
      await order("POST", `/session/${button.dataset.order}`, undefined, sentence);
    });
  }
  part("hint").addEventListener("click", () => order("POST", "/hint", undefined, "The hint is to be given."));
  part("take-back-jump").addEventListener("click", () =>
    order("DELETE", "/jump", undefined, "The jump is taken back."));
  part("take-back-announcement").addEventListener("click", () =>
    order("DELETE", "/announcement", undefined, "The announcement is taken back."));
  part("filter").addEventListener("input", (event) => {
    const shown = panels?.find(event.target.value) ?? 0;
    say(shown === 1 ? "1 segment." : `${shown} segments.`);
  });
  wireReception("signal", "strength", "The signal");
  wireReception("readability", "grade", "Readability");
  part("announcement").addEventListener("submit", announce);
  part("plain-voice").addEventListener("submit", speakPlainly);
  part("plain-stop").addEventListener("click", stopPlainly);
}

/** A form with one number, and the button beside it that lets it be as the script says. */
function wireReception(name, field, words) {
  part(name).addEventListener("submit", async (event) => {
    event.preventDefault();
    const value = part(field).valueAsNumber;
    await order("POST", `/${name}`, { [field]: value }, `${words} is to be ${value}.`);
  });
  part(`take-back-${name}`).addEventListener("click", () =>
    order("DELETE", `/${name}`, undefined, `${words} is to be as the script says.`));
}

async function announce(event) {
  event.preventDefault();
  const now = event.submitter?.value === "now";
  const text = part("words").value.trim();
  const when = now ? "now" : "after this item";
  if (await order("POST", "/announcement", { text, now }, `To be said ${when}: ${text}`)) {
    part("words").value = "";
  }
}

async function speakPlainly(event) {
  event.preventDefault();
  const text = part("plain-words").value.trim();
  if (!(await sure("PLAIN VOICE on air, all else off?"))) return;
  await order("POST", "/plain-voice", { text, confirm: "plain voice" }, "The plain voice is to speak.");
}

async function stopPlainly() {
  if (!(await sure("Stop the plain voice?"))) return;
  const body = { confirm: "stop plain voice" };
  await order("POST", "/plain-voice/stop", body, "The plain voice is to stop. A session stays held.");
}

// --- what the station tells --------------------------------------------------------------------------

function hear(kind, data) {
  if (kind === "as-run") return hearRecord(data);
  panels.show(data);
  document.querySelector("main").inert = false;  // before, there was nothing to operate
  caughtUp = true;
}

function hearRecord(record) {
  if (record.event === "output started") started = record;
  const sentence = sentenceOf(record);
  if (!sentence) return;
  const line = document.createElement("li");
  const time = document.createElement("time");
  time.textContent = timeOf(record.end_frame ?? record.frame);
  line.append(time, sentence.words);
  line.dataset.event = record.event;
  part("log").prepend(line);
  while (part("log").children.length > LONGEST_LOG) part("log").lastChild.remove();
  if (sentence.news && caughtUp) say(sentence.words);
}

function timeOf(frame) {
  if (!started || frame === undefined) return "";
  const seconds = (frame - started.frame) / panels.programme.frames_a_second;
  const at = new Date(Date.parse(started.wall) + 1000 * seconds);
  return at.toLocaleTimeString(undefined, { hour12: false });
}

function line(there) {
  caughtUp = false;
  if (!there) {
    write(part("state"), "No line to the station");
    say("There is no line to the station; it is tried again.");
  }
}

async function open() {
  wire();
  for (;;) {
    try {
      panels = new Panels(await station.call("GET", "/programme"), act);
      break;
    } catch (error) {
      line(false);
      await new Promise((resolve) => setTimeout(resolve, 1000));
    }
  }
  setInterval(() => panels.tick(), 250);
  await station.follow(hear, line);
}

open();
