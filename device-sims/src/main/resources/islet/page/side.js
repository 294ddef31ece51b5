/* One of two sites that are shown beside each other: its mode, alarms, diagram, sentence, margins, mode machine and events. */
import { Alarms, Events, standing, unseen } from './alarms.js';
import { Commands } from './commands.js';
import { Machine } from './machine.js';
import { Margins } from './margins.js';
import { SiteClock } from './numbers.js';
import { OneLine } from './oneline.js';
import { make } from './sheet.js';
import { Store } from './store.js';
import { inWords } from './telling.js';
import { say } from './texts.js';
import { viewOf } from './view.js';

export class Side {
  /** @param {string} letter A or B  @param {string} key acknowledges its first alarm */
  constructor(letter, key, link) {
    this.letter = letter;
    this.key = key;
    this.store = new Store();
    this.commands = new Commands(this.store, link);
    this.id = letter.toLowerCase();
    this.build(document.getElementById(`side-${this.id}`));
    this.events = new Events(document.getElementById(`event-room-${this.id}`));
    this.margins = new Margins(document.getElementById(`hazard-room-${this.id}`));
    this.machine = new Machine(...['machine', 'waiting', 'transition'].map((part) => document.getElementById(`${part}-${this.id}`)));
  }

  build(section) {
    const element = (name, look, parent, text = '') => {
      const made = document.createElement(name);
      made.className = look;
      made.textContent = text;
      parent.append(made);
      return made;
    };
    const head = element('div', 'side-head', section);
    element('span', 'side-letter', head, this.letter).setAttribute('aria-hidden', 'true');
    const names = element('div', '', head);
    this.name = element('h3', '', names);
    this.name.id = `side-name-${this.id}`;
    this.mode = element('p', 'side-mode', names);
    this.mode.id = `mode-${this.id}`;
    this.count = element('p', 'side-count', head);
    this.count.id = `alarm-count-${this.id}`;
    const bar = element('div', 'ringing', section);
    bar.hidden = true;
    const text = element('p', '', bar);
    text.setAttribute('role', 'alert');
    const button = element('button', '', bar);
    button.type = 'button';
    const room = element('div', 'room', section);
    const svg = make(room, 'svg', { class: 'drawing', id: `oneline-${this.id}`, role: 'img' });
    svg.setAttribute('aria-labelledby', this.name.id);
    this.sentence = element('p', 'in-words', section);
    this.sentence.id = `in-words-${this.id}`;
    svg.setAttribute('aria-describedby', this.sentence.id);
    const rest = element('details', 'alarm-rest', section);
    this.alarmsName = element('summary', '', rest);
    const list = element('div', '', rest);
    this.oneLine = new OneLine(svg, room, true);
    this.alarms = new Alarms(list, { bar, text, button }, (id) => this.acknowledge(id));
    button.textContent = say('beside.acknowledgeKey', { key: this.key });
    button.setAttribute('aria-keyshortcuts', this.key);
    this.room = room;
  }

  begin(description) {
    const { store } = this;
    store.describe(description);
    store.clock = new SiteClock(description.site.zone);
    this.title = say('beside.site', { letter: this.letter, arrangement: description.site.arrangement });
    put(this.name, `${this.title}, ${description.site.name}`);
    put(this.alarmsName, say('beside.alarms', { letter: this.letter }));
    for (const part of ['hazards', 'modes', 'events']) {
      put(document.getElementById(`${part}-name-${this.id}`), this.title);
    }
    this.alarms.begin();
    this.events.begin();
    this.margins.begin(description);
    this.machine.begin(description);
    this.oneLine.site = undefined;
    this.truth = undefined;
    this.ledger = undefined;
  }

  acknowledge(id) {
    return this.hands.operatorOrder('ACKNOWLEDGE', { key: id });
  }

  acknowledgeFirst() {
    return this.alarms.first && this.acknowledge(this.alarms.first.id);
  }

  /** Takes a message of its own; the bench's books are kept here, since one site alone shows none. */
  hear(device, kind, message) {
    if (device === 'bench' && kind === 'ledger') {
      this.ledger = message;
      return;
    }
    this.store.hear(device, kind, message);
  }

  show() {
    const { store } = this;
    this.oneLine.fit(store.description.site);
    const view = viewOf(store);
    this.oneLine.show(view);
    put(this.sentence, inWords(store, view));
    const { mode } = store;
    put(this.mode, mode ? say(`mode.${mode}`) : say(store.began ? 'head.silent' : 'head.listening'));
    if (this.mode.dataset.mode !== (mode ?? '')) {
      this.mode.dataset.mode = mode ?? '';
    }
    if (store.alarmsChanged) {
      store.alarmsChanged = false;
      this.alarms.show(store);
      const alarms = standing(store);
      const fresh = alarms.filter(unseen).length;
      this.count.dataset.unseen = String(fresh);
      put(this.count, alarms.length === 0 ? say('beside.noAlarm') : say(fresh > 0 ? 'beside.alarmsNew' : 'beside.alarmsSeen', { count: alarms.length, fresh }));
    }
    this.machine.show(store);
    if (store.marginsChanged) {
      store.marginsChanged = false;
      this.margins.show(store);
    }
    if (store.eventsChanged) {
      store.eventsChanged = false;
      this.events.show(store);
    }
  }
}

function put(element, text) {
  if (element.textContent !== text) {
    element.textContent = text;
  }
}
