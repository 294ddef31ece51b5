/* Puts the page of two sites beside each other together: one clock and one link, two of everything else. */
import { BesideHands } from './beside-hands.js';
import { History } from './history.js';
import { Joining } from './joining.js';
import { Keys } from './keys.js';
import { Look } from './look.js';
import { Side } from './side.js';
import { Same, SoFar } from './so-far.js';
import { DASHED, MODES, SOLID, Strips } from './strips.js';
import { speedWords } from './head.js';
import { say } from './texts.js';

/** Frames of two sites are drawn half as often as those of one, ms, save when a mode changes. */
const FRAME_MS = 160;

/** Strips are drawn no oftener than this, ms. */
const STRIP_MS = 500;

const byId = (id) => document.getElementById(id);

/** Quantities of the strips: the bench's own field, and the signal's name in what was before the page was opened. */
const QUANTITIES = [
  { name: 'soc', of: (t) => t.batterySoc, was: (s) => s('battery.soc'), unit: '%', decimals: 1, height: 120, span: 5, scale: 100 },
  { name: 'utilityPower', of: (t) => t.pccPowerW, was: (s) => s('pcc.power_W'), unit: 'kW', decimals: 2, height: 120, span: 0.5, scale: 0.001 },
  { name: 'arrayPower', of: (t) => t.pvPowerW, was: (s) => s('pv.power_W'), unit: 'kW', decimals: 2, height: 120, span: 0.5, scale: 0.001 },
  {
    name: 'batteryPower', of: (t) => t.batteryVoltageV * t.batteryCurrentA, was: (s) => s('battery.voltage_V') * s('battery.current_A'),
    unit: 'kW', decimals: 2, height: 120, span: 0.5, scale: 0.001,
  },
  {
    name: 'loadPower', of: (t) => t.criticalPowerW + t.noncriticalPowerW, was: (s) => s('critical.power_W') + s('noncritical.power_W'),
    unit: 'kW', decimals: 2, height: 120, span: 0.5, scale: 0.001,
  },
  { name: 'panelVoltage', of: (t) => t.criticalVoltagePu, was: (s) => s('critical.voltage_pu'), unit: 'pu', decimals: 3, height: 110, span: 0.2 },
];

const LETTERS = ['A', 'B'];
const LINES = [SOLID, DASHED];
const COLUMNS = ['at', 'modeA', 'modeB', ...QUANTITIES.flatMap(({ name }) => LETTERS.map((letter) => name + letter))];

const plan = {
  columns: COLUMNS,
  strips: [
    { name: 'mode', height: 84, series: [], modes: LETTERS.map((letter) => [`mode${letter}`, letter]) },
    ...QUANTITIES.map(({ name, unit, decimals, height, span, scale }) => ({
      name, unit, decimals, height, span, scale,
      series: LETTERS.map((letter, i) => [name + letter, LINES[i], letter, letter]),
    })),
  ],
};

document.querySelectorAll('[data-say]').forEach((element) => {
  element.textContent = say(element.dataset.say);
});
document.querySelectorAll('[data-say-label]').forEach((element) => {
  element.setAttribute('aria-label', say(element.dataset.sayLabel));
});

const joining = new Joining({ begin, hear, linked, topics: (description) => description.sites.map((site) => site.topics) });
const link = () => joining.link;
const sides = [new Side('A', 'a', link), new Side('B', 'b', link)];
const common = sides[0].store;
const history = new History(COLUMNS);
const hands = new BesideHands(byId('hands-room'), byId('answers'), sides);
const strips = new Strips(byId('strip-room'), byId('strip-tools'), byId('strip-rows'), byId('strip-table'), plan);
const soFar = new SoFar(byId('so-far-table'));
const same = new Same(byId('same'));
const keys = new Keys(byId('keys'), byId('key-rows'), byId('single-keys'));
const look = new Look(byId('look'), () => {
  strips.inked();
  wake();
});

let frame = 0;
let lastFrame = 0;
let lastStrips = 0;
let drawnModes = '';

hands.onAnswer = () => wake();

const modes = () => sides.map((side) => side.store.mode).join();

/** Asks for one frame; the next one that is due draws all that has changed by then. */
function wake() {
  if (frame === 0) {
    const wait = modes() !== drawnModes ? 0 : Math.max(0, FRAME_MS - (performance.now() - lastFrame));
    frame = wait > 8 ? setTimeout(() => (frame = requestAnimationFrame(draw)), wait) : requestAnimationFrame(draw);
  }
}

function draw(at) {
  frame = 0;
  lastFrame = performance.now();
  if (!common.description) {
    return;
  }
  drawnModes = modes();
  sides.forEach((side) => side.show());
  const now = common.now();
  put('time', common.clock.time(now));
  put('day', common.clock.day(now));
  put('speed', speedWords(common));
  put('link', say(`link.${joining.state}`));
  put('who', joining.user || say('who.nobody'));
  same.show(sides);
  soFar.show(sides);
  hands.show();
  const title = say('beside.documentTitle', {
    ringing: sides.some((side) => side.alarms.first) ? '\u25b2 ' : '', a: byId('mode-a').textContent, b: byId('mode-b').textContent,
  });
  if (document.title !== title) {
    document.title = title;
  }
  if (at - lastStrips >= STRIP_MS) {
    lastStrips = at;
    strips.show(history);
  }
}

function put(id, text) {
  if (byId(id).textContent !== text) {
    byId(id).textContent = text;
  }
}

function begin(description) {
  sides.forEach((side, i) => {
    side.begin(description.sites[i]);
  });
  put('title', description.title);
  put('subtitle', say('beside.subtitle', { a: sides[0].title, b: sides[1].title }));
  put('left-out', description.leftOut.join(' '));
  put('strip-words', say('beside.stripWords', { a: sides[0].title, b: sides[1].title }));
  put('caution', say('foot.caution'));
  history.clear();
  strips.begin(description.sites[0]);
  soFar.begin(sides);
  hands.begin(description);
  document.documentElement.dataset.run = description.run;
  recallHistory(description);
  wake();
}

function linked() {
  sides.forEach((side) => {
    side.store.link = joining.state;
  });
  wake();
}

function hear(topic, text, { correlation }) {
  const side = sides.find((one) => topic.startsWith(one.store.description.topics));
  if (!side) {
    return;
  }
  const [device, kind] = topic.slice(side.store.description.topics.length).split('/');
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
    side.commands.hear(message, correlation);
    return;
  }
  const before = side.store.mode;
  side.hear(device, kind, message);
  if (device === 'bench' && kind === 'telemetry') {
    row();
  }
  if (side.store.mode !== before && side.store.mode) {
    byId('heard').textContent = say('beside.modeHeard', { site: side.title, mode: say(`mode.${side.store.mode}`) });
  }
  if (device === 'bench' && kind === 'state' && (message.state === 'CHANGING' || message.run > joining.description.run)) {
    joining.describeAgain();
  }
  wake();
}

/** Takes a row for the strips when the bench has told what is so at both sites at one instant. */
function row() {
  const truths = sides.map((side) => side.store.truth);
  if (truths[0]?.at !== truths[1]?.at) {
    return;
  }
  history.add([
    Date.parse(truths[0].at) / 1000,
    ...sides.map((side) => MODES.indexOf(side.store.mode)),
    ...QUANTITIES.flatMap(({ of }) => truths.map((truth) => of(truth))),
  ]);
}

/** What has been before the page was opened. */
async function recallHistory(description) {
  try {
    const answer = await fetch('history.json', { cache: 'no-store' });
    const past = answer.ok ? await answer.json() : { run: -1 };
    if (past.run !== description.run || joining.description !== description) {
      return;
    }
    const lived = history.rows();
    history.clear();
    merged(past.sites, description.sites).forEach((one) => history.add(one));
    lived.forEach((one) => history.add(one));
    past.sites.forEach((told, i) => told.events.forEach((event) => sides[i].store.past(event)));
    wake();
  } catch {
    // The strips then begin when the page was opened.
  }
}

/** Rows of both at the same instants. */
function merged(pasts, descriptions) {
  const others = new Map(pasts[1].rows.map((one) => [one[0], one]));
  const places = pasts.map(({ columns }) => new Map(columns.map((name, i) => [name, i + 1])));
  const names = descriptions.map(({ signals }) => signals.find((signal) => signal.name === 'supervisor.mode').words);
  const out = [];
  for (const first of pasts[0].rows) {
    const rows = [first, others.get(first[0])];
    if (rows[1]) {
      const signal = (i) => (name) => rows[i][places[i].get(name)] ?? NaN;
      out.push([
        first[0] / 1000,
        ...[0, 1].map((i) => MODES.indexOf(names[i][signal(i)('supervisor.mode')])),
        ...QUANTITIES.flatMap(({ was }) => [0, 1].map((i) => was(signal(i)))),
      ]);
    }
  }
  return out;
}

function go(id) {
  byId(id).focus({ preventScroll: true });
  byId(id).scrollIntoView();
}

byId('help').textContent = say('keys.open');
byId('help').addEventListener('click', () => keys.show());
keys.on('?', 'keys.help', () => keys.show());
[['both', 'keys.go.both'], ['so-far', 'keys.go.soFar'], ['hands', 'keys.go.hands'], ['strips', 'keys.go.strips'], ['hazards', 'keys.go.hazards'], ['modes', 'keys.go.modes'], ['events', 'keys.go.events']].forEach(
  ([id, meaning], i) => keys.on(String(i + 1), meaning, () => go(id)),
);
keys.on(' ', 'keys.pause', () => hands.togglePause());
keys.on('.', 'keys.step', () => hands.step());
keys.on('+', 'keys.faster', () => hands.setSpeed(Math.min(1000, common.speed * 2)));
keys.on('-', 'keys.slower', () => hands.setSpeed(Math.max(0.1, common.speed / 2)));
keys.on('o', 'keys.outage', () => hands.eventByName('outage'));
keys.on('g', 'keys.sag', () => hands.eventByName('sag'));
keys.on('c', 'keys.cloud', () => hands.eventByName('cloud'));
keys.on('a', 'keys.acknowledgeA', () => sides[0].acknowledgeFirst());
keys.on('b', 'keys.acknowledgeB', () => sides[1].acknowledgeFirst());
keys.on('m', 'keys.mark', () => byId('bookmark')?.focus());
keys.on('l', 'keys.look', () => look.change());

// The clock goes on, and what was heard grows old, also when nothing comes.
setInterval(() => wake(), 1_000);
const watcher = new ResizeObserver(() => wake());
sides.forEach((side) => watcher.observe(side.room));

joining.start();
