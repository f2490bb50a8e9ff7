// What happened, in sentences: for the log, and (marked `news`) to be said aloud as well.

export const WHEN = {
  "now": "now",
  "after item": "after this item",
  "after round": "after this round",
};

export function valueWords(value) {
  if (typeof value === "boolean") return value ? "yes" : "no";
  return String(value);
}

export function itemWords(item) {
  const alone = item.item === "say" || item.item === item.text || item.part === "transition";
  return alone ? item.text : `${item.item} ${item.text}`;
}

/** `1:02:03` or `2:03`. */
export function clockWords(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (number) => String(number).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return `${hours ? `${hours}:${two(minutes)}` : minutes}:${two(whole % 60)}`;
}

/** `91.3 MHz`: megahertz from the FM band on. */
export function frequencyWords(hertz) {
  if (!hertz) return "";
  return hertz >= 30e6 ? `${hertz / 1e6} MHz` : `${hertz / 1e3} kHz`;
}

const news = (words) => ({ words, news: true });
const note = (words) => ({ words, news: false });

const SENTENCES = {
  "session started": () => news("The session begins."),
  "session ended": (e) => news(`The session is over: ${e.why}.`),
  "session restored": () => news("The session is brought back."),
  "held": () => news("The session is held."),
  "resumed": () => news("The session goes on."),
  "segment entered": (e) => news(`Segment ${e.segment}: ${e.why}.`),
  "jump waiting": (e) =>
    e.segment ? news(`Jump to ${e.segment}, ${WHEN[e.timing]}.`) : note("No jump waits any more."),
  "fact changed": (e) => note(`${e.fact} is ${valueWords(e.value)}, by ${e.source}.`),
  "signal changed": (e) => note(`The signal is at ${e.strength}, says ${e.why}.`),
  "readability changed": (e) =>
    note(`Readability is ${e.grade === null ? "as the script says" : `to be ${e.grade}`}.`),
  "milestone met": (e) => news(`Milestone ${e.milestone} is met.`),
  "milestone overdue": (e) => note(`Milestone ${e.milestone} is overdue.`),
  "stalled": (e) => news(`The team has stalled: ${e.milestone}.`),
  "hint given": (e) => news(`Hint ${e.rung} of ${e.of}: ${e.why}.`),
  "item aired": (e) =>
    note(`${e.complete ? "" : "Cut: "}${itemWords(e)}${e.clue ? ` (clue: ${e.clue})` : ""}`),
  "plain voice started": (e) => news(`PLAIN VOICE on air, by ${e.source}: ${e.text}`),
  "plain voice stopped": (e) => news(`The plain voice has stopped, by ${e.source}.`),
  "timetable dropped": (e) => note(e.sentence),
  "commanded": (e) => note(`Commanded by ${e.source}: ${e.command}.`),
  "refused": (e) => news(e.sentence),
  "settings read": (e) => note(e.sentence),
  "trouble": (e) => news(e.sentence),
  "station closed": () => news("The station is off air."),
};

/** The sentence of a record of the log, or null for what needs none. */
export function sentenceOf(record) {
  return SENTENCES[record.event]?.(record) ?? null;
}
