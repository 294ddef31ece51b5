/* Alarms by urgency, with what they mean and what to do; and the sequence of events. */
import { words } from './numbers.js';
import { has, say } from './texts.js';

const URGENCY = ['HIGH', 'MEDIUM', 'LOW'];

/** States by what they ask of a person (IEC 62682). */
const RANK = { UNACKNOWLEDGED: 0, RETURNED: 1, ACKNOWLEDGED: 2, SHELVED: 3, SUPPRESSED: 4 };

/** Whether nobody has said yet that it has been seen. */
export const unseen = (alarm) => alarm.state === 'UNACKNOWLEDGED' || alarm.state === 'RETURNED';

/** Alarms that stand, the most urgent first, of equals the newest. */
export function standing(store) {
  return [...store.alarms.values()]
    .filter((alarm) => alarm.state !== 'NORMAL')
    .sort(
      (a, b) =>
        RANK[a.state] - RANK[b.state] || URGENCY.indexOf(a.priority) - URGENCY.indexOf(b.priority) || b.rang - a.rang,
    );
}

export class Alarms {
  constructor(room, ringing, acknowledge) {
    this.room = room;
    this.ringing = ringing;
    this.acknowledge = acknowledge;
    ringing.button.textContent = say('alarms.acknowledgeKey');
    ringing.button.addEventListener('click', () => {
      const first = this.first;
      if (first) {
        acknowledge(first.id);
      }
    });
    this.cards = new Map();
  }

  begin() {
    this.cards.clear();
    this.room.replaceChildren();
    this.empty = document.createElement('p');
    this.empty.className = 'quiet';
    this.room.append(this.empty);
  }

  show(store) {
    const alarms = standing(store);
    this.empty.textContent = alarms.length > 0 ? '' : say('alarms.none');
    this.empty.hidden = alarms.length > 0;
    const focused = document.activeElement;
    const wanted = new Set(alarms.map((alarm) => alarm.id));
    for (const [id, card] of this.cards) {
      if (!wanted.has(id)) {
        card.element.remove();
        this.cards.delete(id);
      }
    }
    alarms.forEach((alarm, i) => {
      let card = this.cards.get(alarm.id);
      if (!card) {
        card = this.card(alarm);
        this.cards.set(alarm.id, card);
      }
      this.fill(card, alarm, store);
      if (this.room.children[i + 1] !== card.element) {
        this.room.insertBefore(card.element, this.room.children[i + 1] ?? null);
      }
    });
    if (focused && focused !== document.activeElement && focused.isConnected) {
      focused.focus();
    }
    this.first = alarms.find(unseen);
    const count = alarms.filter(unseen).length;
    const text = this.first
      ? say(count > 1 ? 'alarms.ringingMore' : 'alarms.ringing', { priority: say(`priority.${this.first.priority}`), text: this.first.text, more: count - 1 })
      : '';
    if (this.ringing.text.textContent !== text) {
      this.ringing.text.textContent = text;
      this.ringing.bar.hidden = text === '';
    }
  }

  card(alarm) {
    const element = document.createElement('article');
    const part = (name, look) => {
      const made = document.createElement(name);
      made.className = look;
      element.append(made);
      return made;
    };
    const card = { element, priority: part('p', 'priority'), what: part('p', 'what'), consequence: part('p', 'why'), action: part('p', 'why') };
    card.button = document.createElement('button');
    card.button.type = 'button';
    card.button.textContent = say('alarms.acknowledge');
    card.button.addEventListener('click', () => this.acknowledge(alarm.id));
    element.append(card.button);
    return card;
  }

  fill(card, alarm, store) {
    card.element.className = unseen(alarm) ? 'alarm ringing-now' : 'alarm';
    card.element.dataset.priority = alarm.priority;
    card.element.dataset.alarm = alarm.id;
    card.element.dataset.state = alarm.state;
    put(card.priority, say('alarms.head', { priority: say(`priority.${alarm.priority}`), state: say(`alarmState.${alarm.state}`), time: store.clock.time(alarm.rang) }));
    put(card.what, alarm.text);
    pair(card.consequence, say('alarms.consequence'), alarm.consequence);
    pair(card.action, say('alarms.action'), alarm.action);
    card.button.hidden = !unseen(alarm);
    card.button.setAttribute('aria-label', say('alarms.acknowledgeThis', { text: alarm.text }));
  }
}

function put(element, text) {
  if (element.textContent !== text) {
    element.textContent = text;
  }
}

function pair(element, name, text) {
  if (element.dataset.said !== text) {
    element.dataset.said = text;
    const bold = document.createElement('b');
    bold.textContent = name;
    element.replaceChildren(bold, ` ${text}`);
  }
}

/** Lines that are drawn; the store keeps some more. */
const MOST_LINES = 120;

export class Events {
  constructor(room) {
    this.room = room;
  }

  begin() {
    this.table = document.createElement('table');
    const head = this.table.createTHead().insertRow();
    for (const key of ['events.when', 'events.what']) {
      const cell = document.createElement('th');
      cell.scope = 'col';
      cell.textContent = say(key);
      head.append(cell);
    }
    this.body = this.table.createTBody();
    this.room.replaceChildren(this.table);
    this.newest = undefined;
  }

  /** Adds what is new on top and lets the oldest lines go. */
  show(store) {
    const { events } = store;
    let fresh = events.indexOf(this.newest);
    if (fresh < 0) {
      fresh = Math.min(events.length, MOST_LINES);
      this.body.replaceChildren();
    }
    for (let i = fresh - 1; i >= 0; i--) {
      const event = events[i];
      const row = this.body.insertRow(0);
      const when = row.insertCell();
      when.className = 'when';
      when.textContent = store.clock.time(event.at);
      row.insertCell().textContent = sentence(event);
      row.dataset.kind = event.kind;
    }
    while (this.body.rows.length > MOST_LINES) {
      this.body.deleteRow(-1);
    }
    this.newest = events[0];
  }
}

function sentence(event) {
  const name = (value) => (has(`mode.${value}`) ? say(`mode.${value}`) : value);
  const change =
    event.from && event.to ? `${name(event.from)} \u2192 ${name(event.to)}` : event.to || event.from ? name(event.to || event.from) : '';
  const head = `${words(event.source)}, ${event.kind}`;
  return [head + (change ? ': ' + change : ''), event.reason].filter(Boolean).join('. ');
}
