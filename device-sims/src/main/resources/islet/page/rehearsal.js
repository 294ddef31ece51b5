/*
 * The page of a guided rehearsal: cautions first, then stop by stop what to do, what should be seen, what is so, and the
 * answer; at the end the signed record. What is kept, and what an answer must be like, the server says; this page asks
 * how it stands and draws it, so it may be loaded anew at any time.
 */
import { Look } from './look.js';
import { SiteClock, duration, words } from './numbers.js';
import { OneLine } from './oneline.js';
import { Store } from './store.js';
import { inWords } from './telling.js';
import { say } from './texts.js';
import { viewOf } from './view.js';

/** How often it is asked how it stands, ms: often while the run goes on, seldom while a person thinks. */
const ASK_RUNNING_MS = 250;
const ASK_STILL_MS = 2_000;

const VERDICTS = ['pass', 'fail', 'skip'];
const byId = (id) => document.getElementById(id);

const store = new Store();
const oneLine = new OneLine(byId('oneline'), byId('diagram-room'));
new Look(byId('look'));
let description;
let clock;
let state;
let drawn = '';
let timer = 0;

/** Makes an element. */
function element(name, attributes = {}, ...content) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    made.setAttribute(key, value);
  }
  made.append(...content);
  return made;
}

function put(id, text) {
  if (byId(id).textContent !== text) {
    byId(id).textContent = text;
  }
}

const pause = (millis) => new Promise((resolve) => setTimeout(resolve, millis));

async function fetched(path) {
  const answer = await fetch(path, { cache: 'no-store' });
  if (!answer.ok) {
    throw new Error(`${answer.status} ${answer.statusText}`);
  }
  return answer.json();
}

/** Asks how it stands, draws what is new, and asks again later. */
async function ask() {
  clearTimeout(timer);
  try {
    state = await fetched('rehearsal.json');
    put('notice', '');
    draw();
  } catch {
    put('notice', say(state?.phase === 'SIGNED' || state?.phase === 'LEFT' ? 'guided.over' : 'guided.away'));
  }
  const still = state !== undefined && state.phase !== 'RUNNING' && state.phase !== 'WRITING';
  if (state?.phase !== 'LEFT') {
    timer = setTimeout(ask, still ? ASK_STILL_MS : ASK_RUNNING_MS);
  }
}

/** Sends an answer; what cannot stand is told beside the field. */
async function send(form, message) {
  const button = form.querySelector('button');
  const wrong = form.querySelector('.wrong');
  button.disabled = true;
  form.querySelectorAll('[aria-invalid]').forEach((field) => field.removeAttribute('aria-invalid'));
  wrong.textContent = '';
  try {
    const answer = await fetch('answer.json', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', 'Islet-Token': state.token },
      body: JSON.stringify(message),
    });
    const reply = answer.headers.get('Content-Type')?.startsWith('application/json') ? await answer.json() : { sentence: await answer.text(), field: '' };
    if (answer.ok && message.do === 'leave') {
      clearTimeout(timer);
      state = { ...state, phase: 'LEFT' };
      draw();
      return;
    }
    if (!answer.ok) {
      wrong.textContent = reply.sentence;
      const field = reply.field && form.querySelector(`[data-field="${reply.field}"]`);
      if (field) {
        field.setAttribute('aria-invalid', 'true');
        field.focus();
      }
    }
  } catch {
    wrong.textContent = say('guided.notSent');
  }
  button.disabled = false;
  await ask();
}

/** What the step's room shows hangs on this; while it stays the same nothing that was typed is touched. */
const placeOf = (now) => `${now.phase} ${now.stop[0]?.step ?? ''}`;

function draw() {
  put('where', whereWords());
  put('who', state.who || say('who.nobody'));
  const place = placeOf(state);
  if (place !== drawn) {
    const first = drawn === '';
    drawn = place;
    document.documentElement.dataset.phase = state.phase;
    document.title = say('guided.title', { where: whereWords(), scenario: description.title });
    drawStep();
    drawDiagram();
    drawAnswered();
    if (!first && state.phase !== 'RUNNING' && state.phase !== 'WRITING') {
      byId('step').focus({ preventScroll: true });
      scrollTo(0, 0);
    }
  }
  const progress = byId('share');
  if (progress) {
    progress.value = state.share;
  }
}

function whereWords() {
  const at = state.stop[0]?.step ?? Math.min(state.steps, state.answered.length + 1);
  return say(`guided.${state.phase}`, { step: at, steps: state.steps });
}

function drawStep() {
  const room = byId('step-room');
  const alone = state.stop.length === 0;
  byId('main').classList.toggle('alone', alone);
  room.replaceChildren();
  const form = element('form', { novalidate: '' });
  switch (state.phase) {
    case 'BEGIN':
      put('step-name', say('guided.before'));
      room.append(element('p', { class: 'must' }, description.notice), cautions(), form);
      drawBegin(form);
      break;
    case 'STOP':
      drawStop(room, form, state.stop[0]);
      break;
    case 'SIGN':
      put('step-name', say('guided.signName'));
      room.append(element('p', { class: 'came-to' }, say(`guided.run.${state.run}`)), form);
      drawSign(form);
      break;
    case 'SIGNED':
      put('step-name', say('guided.record'));
      drawRecord(room, form);
      break;
    case 'LEFT':
      put('step-name', say('guided.LEFT'));
      room.append(element('p', {}, say('guided.over')));
      break;
    default:
      put('step-name', say(`guided.${state.phase}`));
      room.append(element('progress', { id: 'share', max: '1', 'aria-labelledby': 'step-name' }));
  }
}

function cautions() {
  const list = element('ul', { class: 'cautions' });
  list.append(...description.cautions.map((caution) => element('li', {}, caution)));
  return list;
}

/** A line with a label, a field and a name for what the server says of it. */
function line(room, id, label, field, value = '') {
  const input = element('input', { id, 'data-field': field, autocomplete: 'off', maxlength: '1000' });
  input.value = value;
  room.append(element('div', { class: 'line' }, element('label', { for: id }, say(label)), input));
  return input;
}

function foot(form, label) {
  form.append(element('p', { class: 'wrong', role: 'alert' }), element('button', {}, say(label)));
}

function drawBegin(form) {
  if (state.answered.length > 0) {
    form.append(element('p', {}, say('guided.resumed', { count: state.answered.length })));
  }
  const name = line(form, 'name', 'guided.whoBegins', 'who');
  foot(form, 'guided.begin');
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    send(form, { do: 'begin', who: name.value });
  });
}

function told(list, label, text, look = '') {
  if (text) {
    list.append(element('dt', {}, say(label)), element('dd', look ? { class: look } : {}, text));
  }
}

function drawStop(room, form, stop) {
  put('step-name', say('guided.stepName', { step: stop.step, after: duration(stop.afterS) }));
  const list = element('dl', { class: 'told' });
  told(list, 'guided.do', stop.act);
  told(list, 'guided.see', stop.see);
  told(list, 'guided.careful', stop.safety, 'careful');
  told(list, 'head.mode', modeWords(stop.mode));
  told(list, 'alarms.name', stop.alarms.length === 0 ? say('alarms.none') : stop.alarms.map(words).join(', '));
  room.append(list, form);

  const verdicts = element('fieldset');
  verdicts.append(element('legend', {}, say('guided.seen')));
  const row = element('div', { class: 'verdicts' });
  for (const verdict of VERDICTS) {
    const radio = element('input', { type: 'radio', name: 'verdict', value: verdict, 'data-field': 'verdict' });
    row.append(element('label', {}, radio, ` ${say(`guided.${verdict}`)}`));
  }
  verdicts.append(row);

  const measured = stop.values.map((value, i) => measuredField(value, i));
  if (measured.length > 0) {
    const body = element('tbody');
    stop.values.forEach((value, i) => {
      body.append(
        element('tr', {}, element('th', { scope: 'row', id: `signal-${i}` }, value.signal), element('td', { class: 'n' }, withUnit(value)), element('td', {}, measured[i])),
      );
    });
    const headings = ['guided.signal', 'guided.atSite', 'guided.measured'].map((key, i) => element('th', i === 1 ? { class: 'n' } : {}, say(key)));
    form.append(element('table', {}, element('thead', {}, element('tr', {}, ...headings)), body));
  }
  form.append(verdicts);
  const last = element('div', { class: 'last' });
  const remark = line(last, 'remark', 'guided.remark', 'remark');
  const who = line(last, 'answers', 'guided.whoAnswers', 'who', state.who);
  form.append(last);
  foot(form, 'guided.answer');
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    send(form, {
      do: 'answer',
      step: stop.step,
      verdict: form.querySelector('[name="verdict"]:checked')?.value ?? '',
      measured: measured.map((field) => field.value),
      remark: remark.value,
      who: who.value,
    });
  });
}

function measuredField(value, i) {
  const attributes = { 'data-field': `measured/${i}`, 'aria-labelledby': `signal-${i}` };
  if (value.words.length === 0) {
    return element('input', { ...attributes, inputmode: 'decimal', autocomplete: 'off' });
  }
  const select = element('select', attributes);
  select.append(...['', ...value.words].map((word) => element('option', { value: word }, word || say('guided.nothing'))));
  return select;
}

const withUnit = (value) => (value.unit ? `${value.value}\u202f${value.unit}` : value.value);

const modeWords = (mode) => say(`mode.${mode}`);

function drawSign(form) {
  form.append(element('p', {}, say('guided.signWords')));
  const name = line(form, 'name', 'guided.whoSigns', 'name', state.who);
  const signature = line(form, 'signature', 'guided.signature', 'signature');
  foot(form, 'guided.sign');
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    send(form, { do: 'sign', name: name.value, signature: signature.value });
  });
}

function drawRecord(room, form) {
  const [record] = state.record;
  room.append(element('p', { class: 'came-to', id: 'came-to' }, say(`guided.outcome.${record.outcome}`)));
  room.append(element('p', {}, say('guided.counts', record)));
  const papers = element('ul', { class: 'papers' });
  for (const [file, label] of [['record.html', 'guided.paper'], ['record.json', 'guided.data']]) {
    papers.append(element('li', {}, element('a', { href: file, target: '_blank', rel: 'noopener' }, say(label))));
  }
  room.append(papers, element('p', {}, say('guided.digest')), element('p', { class: 'digest', id: 'digest' }, record.sha256));
  room.append(element('p', { class: 'must' }, description.notice), form);
  foot(form, 'guided.leave');
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    send(form, { do: 'leave' });
  });
}

/** `battery.voltage_V` as messages write it: `batteryVoltageV`. */
const camel = (label) => label.replace(/[._](.)/g, (_, letter) => letter.toUpperCase());

/** Draws the instant as the live page would: what the devices say, and the bench's truth where nobody says it. */
function drawDiagram() {
  const [stop] = state.stop;
  byId('diagram').hidden = stop === undefined;
  if (stop === undefined) {
    put('time', '');
    put('day', '');
    return;
  }
  const at = Date.parse(stop.at);
  put('time', clock.time(at));
  put('day', clock.day(at));
  store.describe(description);
  store.hear('bench', 'state', { at: stop.at, state: 'PAUSED', speed: 1 });
  const truth = { at: stop.at };
  for (const { signal, value } of stop.plant) {
    truth[camel(signal)] = value === 'true' || value === 'false' ? value === 'true' : Number(value);
  }
  store.hear('bench', 'telemetry', truth);
  for (const { topic, text } of stop.wire) {
    try {
      store.hear(...topic.split('/'), JSON.parse(text));
    } catch {
      // A message that a fault has broken: nobody has heard it.
    }
  }
  store.began = true;
  const rows = stop.plant.map((value) => element('tr', {}, element('th', { scope: 'row' }, value.signal), element('td', { class: 'n' }, withUnit(value))));
  byId('plant-room').replaceChildren(element('table', {}, element('tbody', {}, ...rows)));
  oneLine.site = undefined;
  redraw();
}

function redraw() {
  if (state?.stop.length > 0 && store.description) {
    oneLine.fit(description.site);
    const view = viewOf(store);
    oneLine.show(view);
    put('in-words', inWords(store, view));
  }
}

function drawAnswered() {
  const { answered } = state;
  byId('answered').hidden = answered.length === 0;
  const body = element('tbody');
  for (const answer of answered) {
    body.append(
      element('tr', {}, ...[String(answer.step), say(`guided.${answer.verdict}`), answer.act, answer.remark, answer.who, answer.when.slice(0, 19).replace('T', ' ')].map((text) => element('td', {}, text))),
    );
  }
  const headings = ['guided.no', 'guided.seen', 'guided.do', 'guided.remarkShort', 'guided.who', 'guided.when'].map((key) => element('th', {}, say(key)));
  byId('answered-room').replaceChildren(element('table', {}, element('thead', {}, element('tr', {}, ...headings)), body));
}

async function start() {
  document.querySelectorAll('[data-say]').forEach((one) => {
    one.textContent = say(one.dataset.say);
  });
  while (description === undefined) {
    try {
      description = await fetched('description.json');
    } catch (error) {
      put('notice', say('page.noDescription', { why: error.message }));
      await pause(ASK_STILL_MS);
    }
  }
  clock = new SiteClock(description.site.zone);
  put('site-name', description.site.name);
  put('scenario', description.title);
  put('caution', say('foot.guided'));
  new ResizeObserver(redraw).observe(byId('diagram-room'));
  // What differs between word and truth is told after a while, as on the live page.
  setInterval(redraw, 1_000);
  ask();
}

start();
