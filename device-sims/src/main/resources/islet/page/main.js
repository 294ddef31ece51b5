/* Puts the page together: fetches the description, keeps the link, and draws when something has changed. */
import { Alarms, Events } from './alarms.js';
import { Commands } from './commands.js';
import { Hands } from './hands.js';
import { Head } from './head.js';
import { History } from './history.js';
import { Joining } from './joining.js';
import { Keys } from './keys.js';
import { Lesson } from './lesson.js';
import { Look } from './look.js';
import { Machine } from './machine.js';
import { Margins } from './margins.js';
import { SiteClock } from './numbers.js';
import { OneLine } from './oneline.js';
import { Recording, historyRows } from './recording.js';
import { Replay } from './replay.js';
import { Store } from './store.js';
import { MODES, Strips } from './strips.js';
import { say } from './texts.js';
import { inWords } from './telling.js';
import { viewOf } from './view.js';

/** Frames are drawn no oftener than this, ms, save when the mode changes: an eye sees no more in figures. */
const FRAME_MS = 80;

/** Strips are drawn no oftener than this, ms. */
const STRIP_MS = 500;

/** Rows of history are taken no oftener than this, ms of wall time. */
const ROW_MS = 200;

const byId = (id) => document.getElementById(id);

const store = new Store();
const history = new History();
const joining = new Joining({ begin, hear, linked, topics: (description) => [description.topics] });
const commands = new Commands(store, () => joining.link);
const oneLine = new OneLine(byId('oneline'), byId('diagram-room'));
const head = new Head();
const alarms = new Alarms(
  byId('alarm-list'),
  { bar: byId('ringing'), text: byId('ringing-text'), button: byId('ringing-acknowledge') },
  (id) => hands.operatorOrder('ACKNOWLEDGE', { key: id }),
);
const events = new Events(byId('event-room'));
const hands = new Hands(byId('hands-room'), byId('answers'), store, commands);
const strips = new Strips(byId('strip-room'), byId('strip-tools'), byId('strip-rows'), byId('strip-table'));
const lesson = new Lesson(byId('lesson'), hands);
const machine = new Machine(byId('machine'), byId('waiting'), byId('transition'));
const margins = new Margins(byId('hazard-room'));
const keys = new Keys(byId('keys'), byId('key-rows'), byId('single-keys'));

document.querySelectorAll('[data-say]').forEach((element) => {
  element.textContent = say(element.dataset.say);
});
document.querySelectorAll('[data-say-label]').forEach((element) => {
  element.setAttribute('aria-label', say(element.dataset.sayLabel));
});

let frame = 0;
let lastFrame = 0;
let lastStrips = 0;
let lastRow = 0;
let lastMode;

hands.onAnswer = () => wake();
hands.onLesson = (name) => {
  lesson.begin(store.description, name);
  byId('lesson').scrollIntoView();
  byId('lesson').querySelector('input').focus();
  wake();
};

/** Asks for one frame; the next one that is due draws all that has changed by then. */
function wake() {
  if (frame === 0) {
    const wait = store.mode !== lastMode ? 0 : Math.max(0, FRAME_MS - (performance.now() - lastFrame));
    frame = wait > 8 ? setTimeout(() => (frame = requestAnimationFrame(draw)), wait) : requestAnimationFrame(draw);
  }
}

function draw(at) {
  frame = 0;
  lastFrame = performance.now();
  lastMode = store.mode;
  if (!store.description) {
    return;
  }
  store.changed = false;
  oneLine.fit(store.description.site);
  const view = viewOf(store);
  oneLine.show(view);
  const sentences = inWords(store, view);
  if (byId('in-words').textContent !== sentences) {
    byId('in-words').textContent = sentences;
  }
  head.show(store);
  if (!store.recorded) {
    hands.show();
  }
  machine.show(store);
  lesson.show(store, view);
  const title = say(alarms.first ? 'page.titleRinging' : 'page.title', { mode: byId('mode').textContent, site: store.description.site.name });
  if (document.title !== title) {
    document.title = title;
  }
  if (store.alarmsChanged) {
    store.alarmsChanged = false;
    alarms.show(store);
  }
  if (store.eventsChanged) {
    store.eventsChanged = false;
    events.show(store);
  }
  if (store.marginsChanged) {
    store.marginsChanged = false;
    margins.show(store);
  }
  if (at - lastStrips >= STRIP_MS) {
    lastStrips = at;
    strips.show(history);
  }
  if (store.recorded) {
    strips.stand(store.clockAt / 1000);
  }
}

/** Takes a row for the strips from the latest words of the devices. */
function row() {
  const wall = performance.now();
  if (wall - lastRow < ROW_MS && store.mode === lastMode) {
    return;
  }
  const meter = store.told('meter');
  const supervisor = store.told('supervisor');
  if (!meter && !supervisor) {
    return;
  }
  lastRow = wall;
  const regulator = store.told('regulator');
  const inverter = store.told('inverter');
  const { truth } = store;
  history.add([
    store.clockAt / 1000,
    regulator?.busVoltageV ?? inverter?.busVoltageV ?? NaN,
    meter?.batteryVoltageV ?? NaN,
    regulator?.enabled ? regulator.voltageSetV : NaN,
    supervisor?.soc ?? NaN,
    supervisor?.reserveSoc ?? NaN,
    meter?.pccPowerW ?? NaN,
    regulator?.pvPowerW ?? NaN,
    meter ? meter.batteryVoltageV * meter.batteryCurrentA : NaN,
    meter ? meter.criticalPowerW : NaN,
    meter?.noncriticalPowerW ?? NaN,
    truth?.priceImport ?? NaN,
    truth?.priceExport ?? NaN,
    MODES.indexOf(supervisor?.mode),
  ]);
}

function hear(topic, text, { correlation }) {
  const prefix = store.description.topics;
  if (!topic.startsWith(prefix)) {
    return;
  }
  const [device, kind] = topic.slice(prefix.length).split('/');
  if (text === '') {
    if (device === 'bench' && kind === 'state') {
      joining.describeAgain();
    }
    return;
  }
  let message;
  try {
    message = JSON.parse(text);
  } catch {
    return; // Somebody else's message; the supervisor's own alarm tells of it.
  }
  if (kind === 'ack') {
    commands.hear(message, correlation);
    return;
  }
  const before = store.mode;
  store.hear(device, kind, message);
  if (kind === 'telemetry') {
    row();
  }
  if (store.mode !== before && store.mode) {
    byId('heard').textContent = say('head.modeHeard', { mode: say(`mode.${store.mode}`) });
  }
  if (device === 'bench' && kind === 'state' && (message.state === 'CHANGING' || message.run > store.description.run)) {
    joining.describeAgain();
  }
  wake();
}

async function fetchJson(name) {
  const answer = await fetch(name, { cache: 'no-store' });
  if (!answer.ok) {
    throw new Error(`${answer.status} ${answer.statusText}`);
  }
  return answer.json();
}

function begin(description) {
  store.describe(description);
  store.clock = new SiteClock(description.site.zone);
  history.clear();
  strips.begin(description);
  machine.begin(description);
  margins.begin(description);
  alarms.begin();
  events.begin();
  if (description.mode === 'recording') {
    wind(description);
    return;
  }
  if (description.mode === 'site') {
    lookOn();
  } else {
    hands.begin(description);
  }
  oneLine.site = undefined;
  document.documentElement.dataset.run = description.run;
  byId('caution').textContent = say(description.bench === false ? 'foot.real' : 'foot.caution');
  recallHistory(description);
  wake();
}

/** Shows a site that runs elsewhere: nothing is asked of it from here. */
function lookOn() {
  ['hands', 'ringing-acknowledge'].forEach((id) => (byId(id).hidden = true));
  document.querySelector('a[href="#hands"]').parentElement.hidden = true;
  document.documentElement.dataset.mode = 'site';
  keys.off('3', ' ', '.', '+', '-', 'o', 'g', 'a', 'i', 'r', 'm');
}

/** Shows a run that is over, by the same views, with its time under a slider instead of hands on a bench. */
async function wind(description) {
  ['hands', 'ringing-acknowledge'].forEach((id) => (byId(id).hidden = true));
  byId('replay').hidden = false;
  document.querySelector('a[href="#hands"]').parentElement.hidden = true;
  document.querySelector('a[href="#replay"]').parentElement.hidden = false;
  document.documentElement.dataset.mode = 'recording';
  document.querySelector('[data-say="hazards.words"]').textContent = say('hazards.wordsRecorded');
  byId('caution').textContent = say('foot.caution');
  notice(say('replay.loading'));
  let told;
  try {
    told = await fetchJson('recording.json');
  } catch (error) {
    notice(say('replay.none', { why: error.message }));
    return;
  }
  const recording = new Recording(told, description);
  historyRows(told, description).forEach((row) => history.add(row));
  store.link = 'recorded';
  const left = [];
  if (told.every > 1) {
    left.push(say('replay.thinned', { recorded: told.rowsRecorded, shown: told.rows.length, every: told.every, near: told.nearS }));
  }
  if (told.eventsLeftOut > 0) {
    left.push(say('replay.eventsLeftOut', { count: told.eventsLeftOut }));
  }
  notice(left.join(' '));
  const replay = new Replay(byId('replay-room'), (at) => {
    const before = store.mode;
    recording.tell(store, at);
    store.state = { state: 'RECORDED', speed: replay.pace, playing: replay.playing };
    if (store.mode !== before && store.mode) {
      byId('heard').textContent = say('head.modeHeard', { mode: say(`mode.${store.mode}`) });
    }
    wake();
  });
  recording.tellMargins(store);
  keys.off('.', 'o', 'g', 'a', 'i', 'r', 'm');
  keys.on('3', 'keys.go.replay', () => byId('replay-slider').focus({ preventScroll: true }));
  keys.on(' ', 'keys.replay.pause', () => replay.toggle());
  keys.on('n', 'keys.replay.next', () => replay.toEvent(true));
  keys.on('p', 'keys.replay.previous', () => replay.toEvent(false));
  keys.on('+', 'keys.replay.faster', () => replay.changePace(1));
  keys.on('-', 'keys.replay.slower', () => replay.changePace(-1));
  keys.tell(say('key.arrows'), 'keys.replay.second');
  replay.begin(recording, store.clock);
}

function linked() {
  store.link = joining.state;
  store.user = joining.user;
  wake();
}

/** What has been before the page was opened, where the server keeps it. */
async function recallHistory(description) {
  try {
    const answer = await fetch('history.json', { cache: 'no-store' });
    if (!answer.ok) {
      return;
    }
    const past = await answer.json();
    if (past.run !== description.run || store.description !== description) {
      return;
    }
    const lived = history.rows();
    history.clear();
    historyRows(past, description).forEach((row) => history.add(row));
    lived.forEach((row) => history.add(row));
    for (const event of past.events ?? []) {
      store.past(event);
    }
    wake();
  } catch {
    // The strips then begin when the page was opened.
  }
}

function notice(text) {
  byId('notice').textContent = text;
}

// Look and keys.

const look = new Look(byId('look'), () => {
  strips.inked();
  wake();
});

byId('help').textContent = say('keys.open');
byId('help').addEventListener('click', () => keys.show());

function go(id) {
  byId(id).focus({ preventScroll: true });
  byId(id).scrollIntoView();
}

keys.on('?', 'keys.help', () => keys.show());
['diagram', 'alarms', 'hands', 'hazards', 'strips', 'modes', 'events'].forEach((id, i) => keys.on(String(i + 1), `keys.go.${id}`, () => go(id)));
keys.on(' ', 'keys.pause', () => hands.togglePause());
keys.on('.', 'keys.step', () => hands.step());
keys.on('+', 'keys.faster', () => hands.setSpeed(Math.min(1000, store.speed * 2)));
keys.on('-', 'keys.slower', () => hands.setSpeed(Math.max(0.1, store.speed / 2)));
keys.on('o', 'keys.outage', () => hands.eventByName('outage'));
keys.on('g', 'keys.sag', () => hands.eventByName('sag'));
keys.on('a', 'keys.acknowledge', () => alarms.first && hands.operatorOrder('ACKNOWLEDGE', { key: alarms.first.id }));
keys.on('i', 'keys.island', () => hands.press('ISLAND'));
keys.on('r', 'keys.reconnect', () => hands.press('RECONNECT'));
keys.on('m', 'keys.mark', () => byId('bookmark')?.focus());
keys.on('l', 'keys.look', () => look.change());

// The clock goes on, and what was heard grows old, also when nothing comes.
setInterval(() => wake(), 1_000);
new ResizeObserver(() => wake()).observe(byId('diagram-room'));

joining.start();
