// The line to the station: orders out, events in. Nothing of the page is known here.

const TOKEN = "token";
const AGAIN_MS = 1000;

/** What the station would not do, in its own sentence. */
export class Problem extends Error {
  constructor(status, sentence) {
    super(sentence);
    this.status = status;
  }
}

const wait = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** A station. `askToken` is called when it wants one, and returns a promise of it. */
export class Station {
  constructor(askToken) {
    this.askToken = askToken;
    this.asked = null;
    this.lastId = null;
  }

  /** The answer to a request, as JSON. Throws a Problem, or what fetch throws without a line. */
  async call(method, path, body) {
    return (await this.answered(method, path, body)).json();
  }

  async answered(method, path, body, more = {}) {
    for (;;) {
      const token = sessionStorage.getItem(TOKEN);
      const headers = { ...more };
      if (token) headers.Authorization = `Bearer ${token}`;
      if (body !== undefined) headers["Content-Type"] = "application/json";
      const answer = await fetch(path, { method, headers, body: JSON.stringify(body) });
      if (answer.ok) return answer;
      if (answer.status !== 401) throw await problemOf(answer);
      await this.wantToken(token);
    }
  }

  // Several calls may find at once that the token is missing: it is asked for once.
  async wantToken(refused) {
    if (sessionStorage.getItem(TOKEN) !== refused) return;
    this.asked ??= this.askToken(refused !== null).finally(() => { this.asked = null; });
    sessionStorage.setItem(TOKEN, await this.asked);
  }

  /** Follow the events for good: `hear(kind, data)` for each, `line(there)` when the line changes. */
  async follow(hear, line) {
    for (;;) {
      try {
        const since = this.lastId ? { "Last-Event-ID": this.lastId } : {};
        const answer = await this.answered("GET", "/events", undefined, since);
        line(true);
        await this.read(answer.body, hear);
      } catch (error) {
        line(false, error);
        await wait(AGAIN_MS);
      }
    }
  }

  // Server-sent events as the WHATWG's HTML standard has them (9.2.6), as far as this station
  // sends them. EventSource itself cannot carry a token.
  async read(stream, hear) {
    const reader = stream.pipeThrough(new TextDecoderStream()).getReader();
    let text = "";
    for (;;) {
      const { value, done } = await reader.read();
      if (done) return;
      const blocks = (text + value).split("\n\n");
      text = blocks.pop();
      for (const block of blocks) {
        const fields = Object.fromEntries(block.split("\n").map(fieldOf));
        if (fields.data === undefined) continue;
        if (fields.id) this.lastId = fields.id;
        hear(fields.event, JSON.parse(fields.data));
      }
    }
  }
}

function fieldOf(line) {
  const colon = line.indexOf(":");
  return [line.slice(0, colon), line.slice(colon + 1).trimStart()];
}

async function problemOf(answer) {
  const details = await answer.json().catch(() => ({}));
  return new Problem(answer.status, details.detail ?? `The station answered ${answer.status}.`);
}
