/*
 * Hands on: the run, the utility, faults, and an operator's orders. Every form is made from the description's own
 * declarations; each press is answered with what became of it.
 */
import { amountOf, button, choice, element, grave, input, isoDuration, labelled, submit, written } from './forms.js';
import { plain, span, words } from './numbers.js';
import { knows } from './lesson.js';
import { Standing } from './standing.js';
import { has, say } from './texts.js';

/** Events that have a button of their own besides the form, where the site has them. */
const AT_ONCE = ['outage', 'sag', 'frequency', 'cloud', 'loadStep'];

/** Orders that have a button of their own: no field needs filling. */
const PLAIN_ORDERS = ['ISLAND', 'RECONNECT', 'RESET'];

export class Hands {
  constructor(room, answers, store, commands) {
    this.room = room;
    this.answers = answers;
    this.store = store;
    this.commands = commands;
  }

  begin(description) {
    this.description = description;
    this.room.replaceChildren();
    this.pause = undefined;
    this.standing = undefined;
    const bench = description.bench !== false;
    if (bench) {
      this.run();
      this.standing = new Standing(this.room, say('fault.standing'), (...fault) => this.endFault(...fault), () => this.pause);
    }
    const events = (description.events ?? []).filter((event) => event.fields);
    if (bench && events.length > 0) {
      this.group('hands.utility', true, (room) => this.eventForms(room, events));
    }
    this.group('hands.operator', true, (room) => {
      this.orderForms(room);
      if (bench && description.site.changeover) {
        this.handOnSwitch(room);
      }
    });
    if (bench && description.faults?.length > 0) {
      this.group('hands.faults', false, (room) => this.faultForm(room));
    }
    const taught = (description.lessons ?? []).filter((lesson) => knows(lesson.name));
    if (bench && taught.length > 0) {
      this.group('hands.lessons', false, (room) => this.lessonForm(room, taught));
    }
    if (bench && description.scenarios?.length > 0) {
      this.group('hands.load', false, (room) => this.loadForm(room));
    }
  }

  show() {
    const { store } = this;
    if (this.pause) {
      const text = say(store.paused ? 'run.goOn' : 'run.pause');
      if (this.pause.firstChild.textContent !== text) {
        this.pause.firstChild.textContent = text;
        this.pause.setAttribute('aria-pressed', String(store.paused));
      }
      const speed = String(store.speed);
      if (document.activeElement !== this.speed && this.speed.dataset.heard !== speed) {
        this.speed.dataset.heard = speed;
        this.speed.value = speed;
      }
    }
    this.standing?.show(store);
    if (this.shown !== store.answers[0]) {
      this.shown = store.answers[0];
      const item = document.createElement('li');
      item.className = this.shown.accepted ? '' : 'refused';
      item.textContent = `${store.clock.time(this.shown.at)}  ${this.shown.asked}: ${this.shown.text}`;
      this.answers.prepend(item);
      while (this.answers.children.length > 30) {
        this.answers.lastChild.remove();
      }
    }
  }

  /** Sends an order and writes down what became of it. */
  async ask(asked, sent) {
    const at = this.store.now();
    const answer = await sent;
    this.store.answer({ at, asked, ...answer });
    this.onAnswer?.();
    return answer;
  }

  benchOrder(order, fields, asked) {
    return this.ask(asked, this.commands.bench(order, fields));
  }

  operatorOrder(order, fields = {}) {
    const key = fields.key ? ` ${fields.key}` : '';
    return this.ask(orderName(order) + key, this.commands.supervisor(order, fields));
  }

  // The run.

  run() {
    const row = element('div', 'row');
    this.pause = button(say('run.pause'), () => this.togglePause(), 'Space');
    this.pause.id = 'pause';
    row.append(this.pause, button(say('run.step'), () => this.step(), '.'), grave(say('run.back'), say('run.backSure'), () => this.back()));
    const speeds = element('div', 'row');
    const label = element('label', '', say('run.speed'));
    this.speed = document.createElement('input');
    Object.assign(this.speed, { type: 'number', min: '0.1', max: '1000', step: 'any', value: '1', id: 'speed-wish' });
    label.htmlFor = this.speed.id;
    speeds.append(label, this.speed, button(say('run.set'), () => this.setSpeed(Number(this.speed.value))));
    for (const speed of [1, 10, 60]) {
      const quick = button(`${speed}\u00d7`, () => this.setSpeed(speed));
      quick.setAttribute('aria-label', say('run.speedIs', { speed }));
      speeds.append(quick);
    }
    this.room.append(row, speeds);
    if (this.description.benchOrders?.some((order) => order.order === 'RESTORE')) {
      row.append(button(say('run.restore'), () => this.benchOrder('RESTORE', {}, say('run.restore'))));
    }
    const marks = element('form', 'row');
    const mark = document.createElement('input');
    Object.assign(mark, { maxLength: 64, id: 'bookmark', size: 14 });
    const markLabel = element('label', '', say('run.bookmark'));
    markLabel.htmlFor = mark.id;
    marks.append(markLabel, mark, submit(say('run.mark')));
    marks.addEventListener('submit', (event) => {
      event.preventDefault();
      this.benchOrder('BOOKMARK', { text: mark.value || say('run.bookmark') }, say('run.bookmark'));
      mark.value = '';
    });
    this.room.append(marks);
  }

  togglePause() {
    const order = this.store.paused ? 'GO_ON' : 'PAUSE';
    return this.benchOrder(order, {}, say(order === 'PAUSE' ? 'run.pause' : 'run.goOn'));
  }

  step() {
    return this.benchOrder('STEP', {}, say('run.step'));
  }

  back() {
    return this.benchOrder('BACK', {}, say('run.back'));
  }

  setSpeed(speed) {
    return this.benchOrder('SPEED', { number: speed }, say('run.speedIs', { speed: plain(speed) }));
  }

  // Utility, weather, loads.

  eventForms(room, events) {
    const quick = element('div', 'row');
    for (const event of events.filter((one) => AT_ONCE.includes(one.name))) {
      const made = button(eventWords(event), () => this.event(event, usualFields(event)), event.name === 'outage' ? 'o' : event.name === 'sag' ? 'g' : '');
      made.dataset.event = event.name;
      quick.append(made);
    }
    room.append(quick);
    const more = element('details', '');
    more.append(element('summary', '', say('hands.otherFigures')));
    const form = element('form', '');
    const select = choice(say('hands.what'), events.map((event) => [event.name, event.title ?? words(event.name)]));
    const fields = element('div', 'fields');
    const refill = () => {
      fields.replaceChildren();
      const event = events.find((one) => one.name === select.input.value);
      this.eventFields = event.fields.map((field) => input(fields, field));
    };
    select.input.addEventListener('change', refill);
    form.append(select.row, fields, submit(say('hands.do')));
    refill();
    form.addEventListener('submit', (submitted) => {
      submitted.preventDefault();
      const event = events.find((one) => one.name === select.input.value);
      this.event(event, Object.fromEntries(this.eventFields.filter((field) => field.filled()).map((field) => [field.name, field.value()])));
    });
    more.append(form);
    room.append(more);
  }

  event(event, fields) {
    const text = JSON.stringify({ [event.form ?? 'utility']: fields });
    return this.benchOrder('EVENT', { text }, event.title ?? words(event.name));
  }

  /** Does an event with its usual figures; for a key. */
  eventByName(name) {
    const event = this.description.events?.find((one) => one.name === name);
    return event ? this.event(event, usualFields(event)) : undefined;
  }

  // Faults.

  faultForm(room) {
    const { faults } = this.description;
    const form = element('form', '');
    const label = element('label', '', say('fault.kind'));
    const select = document.createElement('select');
    select.id = 'fault-kind';
    label.htmlFor = select.id;
    const families = [...new Set(faults.map((fault) => fault.family))];
    for (const family of families) {
      const group = document.createElement('optgroup');
      group.label = faults.find((fault) => fault.family === family).familyTitle ?? words(family);
      for (const fault of faults.filter((one) => one.family === family)) {
        const option = new Option(words(fault.kind) + (fault.playable ? '' : ` (${say('fault.rehearsalOnly')})`), fault.kind);
        option.disabled = !fault.playable;
        group.append(option);
      }
      select.append(group);
    }
    select.value = faults.find((fault) => fault.playable)?.kind ?? '';
    const effect = element('p', 'effect');
    const fields = element('div', 'fields');
    const row = element('div', 'row');
    row.append(label, select);
    form.append(row, effect, fields, submit(say('fault.begin')));
    let build = () => ({});
    const refill = () => {
      const fault = faults.find((one) => one.kind === select.value);
      fields.replaceChildren();
      if (!fault) {
        return;
      }
      effect.textContent = `${sentenceCase(fault.effect)}. ${say('fault.duty', { duty: fault.duty })}`;
      build = this.faultFields(fields, fault);
    };
    select.addEventListener('change', refill);
    refill();
    form.addEventListener('submit', (submitted) => {
      submitted.preventDefault();
      const event = build();
      this.benchOrder('EVENT', { text: JSON.stringify(event) }, words(select.value));
    });
    room.append(form);
  }

  faultFields(room, fault) {
    const places = fault.targets.flatMap((target) =>
      target.signals.length > 0 ? target.signals.map((signal) => ({ device: target.device, signal })) : [{ device: target.device, signal: '' }],
    );
    let where;
    if (places.length > 1) {
      where = document.createElement('select');
      places.forEach((place, i) => where.append(new Option(place.signal ? `${place.device}: ${place.signal}` : place.device, String(i))));
      labelled(room, say('fault.where'), where, '');
    }
    const numbers = fault.numbers.map((number) => input(room, { ...number, kind: 'number', required: true }));
    let way;
    if (fault.ways.length > 0) {
      way = document.createElement('select');
      fault.ways.forEach((one) => way.append(new Option(words(one), one)));
      labelled(room, say('fault.as'), way, '');
    }
    const lasting = input(room, { name: 'for', title: say('fault.for'), kind: 'duration', required: false, meaning: say('fault.forWhy') });
    return () => {
      const place = places[where ? Number(where.value) : 0] ?? { device: '', signal: '' };
      const body = { kind: fault.kind };
      if (place.device) {
        body.device = place.device;
      }
      if (place.signal) {
        body.signal = place.signal;
      }
      numbers.forEach((number) => {
        body[number.name] = number.value();
      });
      if (way) {
        body.as = way.value;
      }
      return lasting.filled() ? { fault: body, for: lasting.value() } : { fault: body };
    };
  }

  endFault(number, kind) {
    return this.benchOrder('END', { number }, say('fault.endOf', { fault: kind }));
  }

  // Orders.

  orderForms(room) {
    const orders = this.description.orders ?? [];
    const quick = element('div', 'row');
    const { tie, changeover } = this.description.site;
    for (const name of PLAIN_ORDERS.filter((one) => one === 'RESET' || tie || changeover)) {
      const order = orders.find((one) => one.order === name);
      if (order) {
        const does = () => this.operatorOrder(name);
        const made = order.grave ? grave(orderName(name), say('order.sure', { order: orderName(name) }), does) : button(orderName(name), does);
        made.dataset.order = name;
        made.title = order.meaning;
        quick.append(made);
      }
    }
    room.append(quick);
    const others = orders.filter((one) => !PLAIN_ORDERS.includes(one.order) && one.order !== 'ACKNOWLEDGE');
    if (others.length === 0) {
      return;
    }
    const more = element('details', '');
    more.append(element('summary', '', say('hands.otherOrders')));
    const form = element('form', '');
    const select = choice(say('order.which'), others.map((order) => [order.order, orderName(order.order)]));
    const meaning = element('p', 'effect');
    const fields = element('div', 'fields');
    const buttons = element('div', 'row');
    let build = () => ({});
    const refill = () => {
      fields.replaceChildren();
      const order = others.find((one) => one.order === select.input.value);
      meaning.textContent = `${sentenceCase(order.meaning)}${/[.!?]$/.test(order.meaning) ? '' : '.'}`;
      build = this.orderFields(fields, order);
      const does = () => {
        if (form.reportValidity()) {
          this.operatorOrder(order.order, build());
        }
      };
      buttons.replaceChildren(order.grave ? grave(say('order.give'), say('order.sure', { order: orderName(order.order) }), does) : button(say('order.give'), does));
    };
    select.input.addEventListener('change', refill);
    form.addEventListener('submit', (submitted) => {
      submitted.preventDefault();
      buttons.firstChild.click();
    });
    form.append(select.row, meaning, fields, buttons);
    refill();
    more.append(form);
    room.append(more);
  }

  orderFields(room, order) {
    let key;
    if (order.key !== 'none') {
      if (order.keys.length > 0) {
        key = document.createElement('select');
        order.keys.forEach((one) => key.append(new Option(words(one), one)));
      } else {
        key = document.createElement('input');
        key.maxLength = 64;
        key.size = 12;
      }
      key.required = order.key === 'required';
      labelled(room, say('order.key'), key, order.keyMeaning ?? '');
    }
    const lasting =
      order.longestS > 0
        ? input(room, { name: 'for', title: say('order.for'), kind: 'duration', usual: order.usualS, required: order.usualS > 0, meaning: say('order.longest', { longest: span(order.longestS) }) })
        : undefined;
    return () => ({ key: key?.value ?? '', forS: lasting?.filled() ? lasting.seconds() : 0 });
  }

  /** Presses the button of an order and brings it into view, so that a grave one asks where it stands; for a key. */
  press(order) {
    const made = this.room.querySelector(`[data-order="${order}"]`);
    if (made) {
      made.closest('details').open = true;
      made.focus();
      made.click();
    }
  }

  lessonForm(room, lessons) {
    const form = element('form', 'row');
    const select = choice(say('lesson.which'), lessons.map((lesson) => [lesson.name, lesson.title]));
    form.append(select.row, submit(say('lesson.begin')));
    form.addEventListener('submit', (submitted) => {
      submitted.preventDefault();
      this.onLesson?.(select.input.value);
    });
    room.append(form);
  }

  /** The hand on a changeover switch, which asks nobody. */
  handOnSwitch(room) {
    const row = element('div', 'row');
    row.append(`${say('hands.switch')} `);
    for (const [side, key] of [['utility', 'switch.toUtility'], ['inverter', 'switch.toInverter']]) {
      row.append(button(say(key), () => this.benchOrder('EVENT', { text: JSON.stringify({ operator: { switch: side } }) }, say(key))));
    }
    room.append(row);
  }

  // Another scenario.

  loadForm(room) {
    const form = element('form', '');
    const select = document.createElement('select');
    select.id = 'scenario-wish';
    const label = element('label', '', say('load.which'));
    label.htmlFor = select.id;
    for (const group of ['lesson', 'scenario', 'site']) {
      const those = this.description.scenarios.filter((one) => one.group === group);
      if (those.length > 0) {
        const made = document.createElement('optgroup');
        made.label = say(`load.${group}`);
        for (const one of those) {
          const option = new Option(`${one.title} (${one.arrangement})`, one.id);
          option.disabled = one.playable === false;
          made.append(option);
        }
        select.append(made);
      }
    }
    select.value = this.description.scenario;
    const row = element('div', 'row');
    row.append(label, select, submit(say('load.do')));
    form.append(row);
    form.addEventListener('submit', (submitted) => {
      submitted.preventDefault();
      this.benchOrder('LOAD', { text: select.value }, select.selectedOptions[0]?.textContent ?? '');
    });
    room.append(form);
  }

  group(key, open, fill) {
    const group = element('details', '');
    group.open = open;
    group.append(element('summary', '', say(key)));
    fill(group);
    this.room.append(group);
  }
}

export function orderName(order) {
  return has(`order.${order}`) ? say(`order.${order}`) : words(order);
}

function usualFields(event) {
  return Object.fromEntries(
    event.fields
      .filter((field) => field.required)
      .map((field) => [field.name, field.kind === 'duration' ? isoDuration(amountOf(field)) : written(field, amountOf(field))]),
  );
}

/** `Outage, 5 min`: what a press does with the usual figures. */
function eventWords(event) {
  const figures = event.fields
    .filter((field) => field.required && Number.isFinite(amountOf(field)))
    .map((field) => (field.kind === 'duration' ? span(amountOf(field)) : `${plain(amountOf(field))}${field.unit ? `\u202f${field.unit}` : ''}`));
  return [event.title ?? words(event.name), ...figures].join(', ');
}

function sentenceCase(text) {
  return text ? text.charAt(0).toUpperCase() + text.slice(1) : '';
}
