/*
 * The one-line diagram of a site, drawn from its arrangement: wide for a screen or a sheet of paper, tall for a phone, and
 * for half a screen with panels in place of their circuits, so that two stand beside each other.
 * One line stands for all conductors of a circuit. How a line is drawn says what energises it.
 */
import { Sheet, make } from './sheet.js';
import { words } from './numbers.js';
import { say } from './texts.js';

const PITCH = 28;

/** Below this width of its room, in CSS pixels, the tall drawing is the more legible one. */
const NARROW = 620;
const NARROW_HALF = 480;

export class OneLine {
  /** @param {boolean} half whether it is one of two that stand beside each other */
  constructor(svg, room, half = false) {
    this.svg = svg;
    this.room = room;
    this.half = half;
    this.site = undefined;
    this.tall = undefined;
  }

  /** Draws anew when site or room ask for it; true when it has. */
  fit(site) {
    const tall = this.room.clientWidth < (this.half ? NARROW_HALF : NARROW);
    if (site === this.site && tall === this.tall) {
      return false;
    }
    this.site = site;
    this.tall = tall;
    this.sheet = (tall ? drawTall : this.half ? drawHalf : drawWide)(this.svg, site);
    return true;
  }

  /** Shows a view of the site; see view.js. */
  show(view) {
    const { sheet } = this;
    for (const [key, look] of Object.entries(view.zones)) {
      sheet.setZone(key, look);
    }
    for (const [key, flow] of Object.entries(view.flows)) {
      sheet.setFlow(key, flow.sign, flow.text);
    }
    for (const [key, text] of Object.entries(view.texts)) {
      sheet.setText(key, text);
    }
    for (const [key, alert] of Object.entries(view.alerts)) {
      const element = sheet.texts.get(key);
      if (element && sheet.differs(`alert ${key}`, alert)) {
        element.classList.toggle('alert', alert);
      }
    }
    for (const [key, look] of Object.entries(view.switches)) {
      sheet.setSwitch(key, look);
    }
    sheet.setShown('padlock', view.held);
    sheet.setLevel('soc', view.soc, view.reserve);
  }
}

const isTwoPanel = (site) => site.arrangement === 'two-panel';
const hasTie = (site) => Boolean(site.tie);
const hasChangeover = (site) => Boolean(site.changeover);
const hasCharger = (site) => Boolean(site.charger);
const hasUtility = (site) => Boolean(site.utility);

/** A unit that charges and carries, but gives nothing to a utility it is connected to. */
const neverFeeds = (site) => hasTie(site) && site.mayFeed === false;

const circuitsOf = (site, panel) => site.circuits.filter((circuit) => circuit.panel === panel);

const panelName = (site) => say(isTwoPanel(site) ? 'part.emergencyPanel' : 'part.loadPanel');
const inverterName = (site) => say(hasTie(site) ? 'part.inverterCharger' : 'part.inverter');

function drawWide(svg, site) {
  const FEED = 112;
  const MAIN = 336;
  const PANEL = 690;
  const FIRST = 150;
  const FIRST_MAIN = 200;
  const critical = circuitsOf(site, 'critical');
  const noncritical = circuitsOf(site, 'noncritical');
  const two = isTwoPanel(site);
  const mainEnd = FIRST_MAIN + Math.max(1, noncritical.length) * PITCH - 8;
  const panelEnd = FIRST + Math.max(1, critical.length) * PITCH - 8;
  const end = Math.max(panelEnd, two ? mainEnd : 0, 300);
  const bus = end + 176;
  const left = hasUtility(site) ? 0 : 190;
  const sheet = new Sheet(svg, 1080 - left, bus + 196, left, 22);
  const changeover = hasChangeover(site);
  const inverterX = changeover ? 500 : PANEL;
  const chargerX = changeover ? 270 : MAIN;

  if (hasUtility(site)) {
    sheet.wire('service', 94, FEED, 112, FEED);
    sheet.disconnector('service', 112, FEED, 'right');
    sheet.wire('pcc', 164, FEED, 196, FEED);
    sheet.source(66, FEED);
    sheet.text('strong middle', 66, 66, say('part.utility'));
    sheet.live('utility.v', 'value middle', 66, 166);
    sheet.live('utility.hz', 'value middle', 66, 190);
    sheet.text('small middle', 140, 142, say('part.service'));
    sheet.meter(224, FEED);
    sheet.live('pcc.word', 'small middle', 224, 160);
    sheet.wire('pcc', 252, FEED, MAIN, FEED);
    sheet.flow('pcc', 296, FEED, 'right', 'big middle', 224, 74);
  }
  if (two) {
    sheet.bar('pcc', MAIN, 88, MAIN, mainEnd);
    sheet.text('strong', MAIN - 6, 44, say('part.mainPanel'));
    sheet.live('main.p', 'big', MAIN - 6, 74);
    feeders(sheet, 'pcc', MAIN, FIRST_MAIN, noncritical);
  }
  if (hasTie(site)) {
    sheet.wire('pcc', MAIN, FEED, 520, FEED);
    sheet.contactor('tie', 520, FEED, 'right');
    sheet.wire('panel', 580, FEED, PANEL, FEED);
    sheet.joint(PANEL, FEED);
    sheet.text('strong middle', 550, 44, say('part.tie'));
    sheet.live('tie.state', 'big middle', 550, 74);
    sheet.live('tie.detail', 'small middle', 550, 174);
    sheet.padlock('padlock', 550, 132);
    if (two) {
      sheet.flow('through', 430, FEED, 'right', 'value middle', 430, 148);
    }
  }
  if (changeover) {
    sheet.wire('pcc', MAIN, FEED, 500, FEED);
    sheet.changeover('tie', 500, FEED + 22, 'right', 22);
    sheet.wire('panel', 564, FEED + 22, PANEL, FEED + 22);
    sheet.joint(PANEL, FEED + 22);
    sheet.wire('inverter', inverterX, FEED + 44, inverterX, end + 46);
    sheet.text('strong middle', 532, 44, say('part.changeover'));
    sheet.live('tie.state', 'value middle', 532, 72);
    sheet.live('tie.detail', 'small middle', 590, 190);
    sheet.padlock('padlock', 604, 152);
  }
  sheet.bar('panel', PANEL, 88, PANEL, Math.max(panelEnd, changeover ? 0 : end));
  sheet.text('strong', PANEL - 6, 44, panelName(site));
  sheet.live('panel.p', 'big', PANEL - 6, 74);
  sheet.live('panel.v', 'value end', 1066, 74);
  feeders(sheet, 'panel', PANEL, FIRST, critical);

  const box = end + 78;
  if (!changeover) {
    sheet.wire('panel', PANEL, end, PANEL, box - 32);
  }
  sheet.converter(inverterX, box, 'ac', 'dc');
  sheet.flow('inverter.ac', inverterX, end + 22, 'up', 'value', inverterX + 22, end + 30);
  sheet.flow('inverter.dc', inverterX, end + 144, 'up', 'value', inverterX + 22, end + 152);
  sheet.wire('dc', inverterX, box + 32, inverterX, bus);
  sheet.joint(inverterX, bus);
  sheet.text('strong', inverterX + 48, box - 6, inverterName(site));
  sheet.live('inverter.state', '', inverterX + 48, box + 18);
  if (neverFeeds(site)) {
    sheet.text('small', inverterX + 48, box + 38, say('inverter.neverFeeds'));
  }

  if (hasCharger(site)) {
    sheet.wire('pcc', chargerX, two ? mainEnd : FEED, chargerX, box - 32);
    sheet.converter(chargerX, box, 'ac', 'dc');
    sheet.flow('charger.ac', chargerX, end + 22, 'down', 'value', chargerX + 22, end + 30);
    sheet.flow('charger.dc', chargerX, end + 144, 'down', 'value', chargerX + 22, end + 152);
    sheet.wire('dc', chargerX, box + 32, chargerX, bus);
    sheet.joint(chargerX, bus);
    sheet.text('strong', chargerX + 48, box - 6, say('part.charger'));
    sheet.live('charger.state', '', chargerX + 48, box + 18);
    if (!two) {
      sheet.joint(chargerX, FEED);
    }
  }

  sheet.bar('dc', 206, bus, 1066, bus);
  sheet.text('strong end', 1064, bus - 42, say('part.bus'));
  sheet.live('bus.v', 'big end', 1064, bus - 14);

  const battery = 300;
  sheet.wire('battery', battery, bus, battery, bus + 62);
  sheet.joint(battery, bus);
  sheet.flow('battery', battery, bus + 32, 'down', 'value', battery + 22, bus + 40);
  sheet.battery(battery, bus + 62);
  sheet.text('strong', battery + 48, bus + 76, say('part.battery'));
  sheet.live('battery.va', 'value', battery + 48, bus + 102);
  sheet.live('battery.soc', 'big', battery + 48, bus + 136);
  sheet.level('soc', battery + 150, bus + 114, 150, 22);
  sheet.live('battery.words', 'small', battery + 48, bus + 162);

  const array = 800;
  sheet.wire('dc', array, bus, array, bus + 48);
  sheet.joint(array, bus);
  sheet.flow('regulator', array, bus + 24, 'up', 'value', array + 22, bus + 34);
  sheet.converter(array, bus + 80, 'dc', 'dc');
  sheet.text('strong', array + 48, bus + 74, say('part.regulator'));
  sheet.live('regulator.state', '', array + 48, bus + 98);
  sheet.wire('pv', array, bus + 112, array, bus + 136);
  sheet.array(array, bus + 136);
  sheet.text('strong', array + 62, bus + 152, say('part.array'));
  sheet.live('pv.p', 'big', array + 62, bus + 182);
  sheet.live('pv.available', 'small', array + 62, bus + 206);
  key(sheet, site, left + 24, end + 14);
  return sheet;
}

function drawTall(svg, site) {
  const X = 84;
  const RIGHT = 420;
  const PANEL = 400;
  const BOX = 536;
  const BUS = 650;
  const two = isTwoPanel(site);
  const changeover = hasChangeover(site);
  // Without a switch between them, charger and inverter stand side by side, each on its own trunk.
  const split = site.arrangement === 'charger-only';
  const inverterX = split ? 258 : X;
  const chargerX = split ? X : 300;
  const panelRight = changeover ? 262 : RIGHT;
  const top = hasUtility(site) ? 0 : 350;
  const sheet = new Sheet(svg, 430, BUS + 344 - top, 0, top);

  if (hasUtility(site)) {
    sheet.source(X, 44);
    sheet.text('strong', 128, 34, say('part.utility'));
    sheet.live('utility.v', 'value', 128, 60);
    sheet.live('utility.hz', 'value', 206, 60);
    sheet.wire('service', X, 72, X, 84);
    sheet.disconnector('service', X, 84, 'down');
    sheet.text('small', 128, 116, say('part.service'));
    sheet.wire('pcc', X, 136, X, 148);
    sheet.meter(X, 172);
    sheet.live('pcc.word', 'small', 128, 160);
    sheet.flow('pcc', X, 220, 'down', 'big', 128, 190);
    sheet.wire('pcc', X, 196, X, two ? 244 : hasTie(site) || changeover ? 296 : BOX - 32);
  }
  if (two) {
    sheet.bar('pcc', 40, 244, RIGHT, 244);
    sheet.joint(X, 244);
    sheet.text('strong end', RIGHT - 2, 232, say('part.mainPanel'));
    sheet.feeder('pcc', 380, 244);
    sheet.live('main.p', 'big end', 362, 276);
    sheet.wire('pcc', X, 244, X, 296);
    sheet.flow('through', X, 270, 'down', 'value', 106, 277);
  }
  if (hasTie(site)) {
    sheet.contactor('tie', X, 296, 'down');
    sheet.wire('panel', X, 356, X, PANEL);
    sheet.text('strong', 128, 316, say('part.tie'));
    sheet.live('tie.state', 'big', 128, 344);
    sheet.live('tie.detail', 'small', 128, 366);
    sheet.padlock('padlock', 396, 318);
  }
  if (changeover) {
    sheet.changeover('tie', 62, 296, 'down', 22);
    sheet.wire('panel', 62, 360, 62, PANEL);
    sheet.wire('inverter', 40, 296, 16, 296, 16, 474, X, 474, X, BOX - 32);
    sheet.text('strong', 112, 316, say('part.changeover'));
    sheet.live('tie.state', 'value', 112, 342);
    sheet.live('tie.detail', 'small', 112, 364);
    sheet.padlock('padlock', 396, 318);
  }
  sheet.bar('panel', split ? 210 : 40, PANEL, panelRight, PANEL);
  sheet.text('strong end', panelRight - 2, PANEL - 12, panelName(site));
  sheet.feeder('panel', panelRight - 20, PANEL);
  sheet.live('panel.p', 'big end', panelRight - 38, PANEL + 32);
  sheet.live('panel.v', split ? 'small end' : 'value end', panelRight - (changeover ? 2 : 38), PANEL + 54);

  if (!changeover) {
    sheet.wire('panel', inverterX, PANEL, inverterX, BOX - 32);
    sheet.joint(inverterX, PANEL);
  }
  sheet.flow('inverter.ac', inverterX, 488, 'up', 'value', inverterX + 22, 495);
  sheet.converter(inverterX, BOX, 'ac', 'dc');
  sheet.text('strong', inverterX + 42, BOX - 4, inverterName(site));
  sheet.live('inverter.state', 'small', inverterX + 42, BOX + 16);
  if (neverFeeds(site)) {
    sheet.text('small', inverterX + 42, BOX + 36, say('inverter.neverFeeds'));
  }
  sheet.wire('dc', inverterX, BOX + 32, inverterX, BUS);
  sheet.joint(inverterX, BUS);
  sheet.flow('inverter.dc', inverterX, 594, 'up', 'value', inverterX + 22, 600);
  if (hasCharger(site)) {
    if (!split) {
      sheet.wire('pcc', X, 250, chargerX, 250, chargerX, BOX - 32);
      sheet.joint(X, 250);
    }
    sheet.converter(chargerX, BOX, 'ac', 'dc');
    sheet.flow('charger.ac', chargerX, 488, 'down', 'value', chargerX + 22, 495);
    sheet.flow('charger.dc', chargerX, 594, 'down', 'value', chargerX + 22, 600);
    sheet.text('strong', chargerX + 42, BOX - 12, say('part.charger'));
    sheet.live('charger.stage', 'small', chargerX + 42, BOX + 8);
    sheet.live('charger.set', 'small', chargerX + 42, BOX + 28);
    sheet.wire('dc', chargerX, BOX + 32, chargerX, BUS);
    sheet.joint(chargerX, BUS);
  }
  sheet.bar('dc', 20, BUS, RIGHT, BUS);
  sheet.live('bus.label', 'strong end', RIGHT - 2, BUS - 12);

  sheet.wire('battery', X, BUS, X, BUS + 56);
  sheet.joint(X, BUS);
  sheet.flow('battery', X, BUS + 30, 'down', 'value', X + 22, BUS + 37);
  sheet.battery(X, BUS + 56);
  sheet.text('strong', 122, BUS + 66, say('part.battery'));
  sheet.live('battery.soc', 'big', 122, BUS + 96);
  sheet.live('battery.va', 'small', 40, BUS + 154);
  sheet.level('soc', 40, BUS + 166, 160, 18);

  const array = 280;
  sheet.wire('dc', array, BUS, array, BUS + 48);
  sheet.joint(array, BUS);
  sheet.flow('regulator', array, BUS + 25, 'up', 'value', array + 22, BUS + 34);
  sheet.converter(array, BUS + 80, 'dc', 'dc');
  sheet.text('strong', array + 38, BUS + 62, say('part.regulatorShort'));
  sheet.live('regulator.stage', 'small', array + 38, BUS + 84);
  sheet.live('regulator.set', 'small', array + 38, BUS + 104);
  sheet.wire('pv', array, BUS + 112, array, BUS + 130);
  sheet.array(array, BUS + 130);
  sheet.text('strong middle', array, BUS + 200, say('part.array'));
  sheet.live('pv.p', 'big middle', array, BUS + 230);
  sheet.live('pv.available', 'small middle', array, BUS + 252);
  key(sheet, site, 24, BUS + 276);
  return sheet;
}

function drawHalf(svg, site) {
  const FEED = 100;
  const MAIN = 250;
  const PANEL = 470;
  const BOX = 216;
  const BUS = 304;
  const sheet = new Sheet(svg, 640, 506, 0, 6);
  const two = isTwoPanel(site);
  const changeover = hasChangeover(site);
  const inverterX = changeover ? 338 : PANEL;

  if (hasUtility(site)) {
    sheet.source(44, FEED);
    sheet.text('strong', 14, 28, say('part.utility'));
    sheet.live('utility.v', 'value', 10, 152);
    sheet.live('utility.hz', '', 10, 174);
    sheet.wire('service', 72, FEED, 80, FEED);
    sheet.disconnector('service', 80, FEED, 'right');
    sheet.wire('pcc', 132, FEED, 146, FEED);
    sheet.meter(174, FEED);
    sheet.live('pcc.word', 'small middle', 174, 144);
    sheet.wire('pcc', 202, FEED, MAIN, FEED);
    sheet.flow('pcc', 226, FEED, 'right', 'big middle', 152, 56);
  }
  if (two) {
    sheet.bar('pcc', MAIN, 80, MAIN, 142);
    sheet.text('strong', 214, 28, say('part.mainPanel'));
    sheet.live('main.p', 'value', 214, 56);
    sheet.feeder('pcc', MAIN, 142);
  }
  if (hasTie(site)) {
    sheet.wire('pcc', MAIN, FEED, 342, FEED);
    sheet.contactor('tie', 342, FEED, 'right');
    sheet.wire('panel', 402, FEED, PANEL, FEED);
    sheet.joint(PANEL, FEED);
    sheet.text('strong middle', 384, 28, say('part.tie'));
    sheet.live('tie.state', 'value middle', 384, 56);
    sheet.live('tie.detail', 'small middle', 372, 132);
    sheet.padlock('padlock', 426, 112);
  }
  if (changeover) {
    sheet.wire('pcc', MAIN, FEED, inverterX, FEED);
    sheet.changeover('tie', inverterX, FEED + 22, 'right', 22);
    sheet.wire('panel', inverterX + 64, FEED + 22, PANEL, FEED + 22);
    sheet.joint(PANEL, FEED + 22);
    sheet.wire('inverter', inverterX, FEED + 44, inverterX, BOX - 32);
    sheet.text('strong middle', 344, 28, say('part.changeover'));
    sheet.live('tie.state', 'value middle', 344, 56);
    sheet.live('tie.detail', 'small middle', 344, 78);
    sheet.padlock('padlock', 426, 132);
  }
  sheet.bar('panel', PANEL, 80, PANEL, changeover ? 160 : BOX - 50);
  sheet.text('strong', 462, 28, panelName(site));
  sheet.live('panel.p', 'big', 462, 60);
  sheet.feederAside('panel', PANEL, 104);
  sheet.live('panel.v', '', PANEL + 18, 150);

  if (!changeover) {
    sheet.wire('panel', PANEL, BOX - 50, PANEL, BOX - 32);
  }
  sheet.flow('inverter.ac', inverterX, BOX - 46, 'up', 'value', inverterX + 20, changeover ? BOX - 42 : BOX - 36);
  sheet.converter(inverterX, BOX, 'ac', 'dc');
  // Beside the switch's own branch there is room on the other side of the box.
  const [look, x] = changeover ? ['', inverterX + 42] : ['end', PANEL - 42];
  sheet.text(`strong ${look}`, x, BOX - 6, inverterName(site));
  sheet.live('inverter.state', look, x, BOX + 16);
  if (neverFeeds(site)) {
    sheet.text(`small ${look}`, x, BOX + 36, say('inverter.neverFeeds'));
  }
  sheet.wire('dc', inverterX, BOX + 32, inverterX, BUS);
  sheet.joint(inverterX, BUS);
  sheet.flow('inverter.dc', inverterX, BOX + 60, 'up', 'value', inverterX + 20, BOX + 68);
  if (hasCharger(site)) {
    sheet.wire('pcc', MAIN, FEED, MAIN, BOX - 32);
    sheet.joint(MAIN, FEED);
    sheet.flow('charger.ac', MAIN, BOX - 56, 'down', 'value end', MAIN - 18, BOX - 46);
    sheet.converter(MAIN, BOX, 'ac', 'dc');
    sheet.text('strong end', MAIN - 42, BOX - 6, say('part.charger'));
    sheet.live('charger.state', 'end', MAIN - 42, BOX + 16);
    sheet.wire('dc', MAIN, BOX + 32, MAIN, BUS);
    sheet.joint(MAIN, BUS);
    sheet.flow('charger.dc', MAIN, BOX + 60, 'down', 'value end', MAIN - 18, BOX + 68);
  }
  sheet.bar('dc', 20, BUS, 622, BUS);
  sheet.live('bus.label', 'strong middle', 276, BUS + 28);

  const battery = 70;
  sheet.wire('battery', battery, BUS, battery, BUS + 36);
  sheet.joint(battery, BUS);
  sheet.flow('battery', battery, BUS + 19, 'down', 'value', battery + 20, BUS + 28);
  sheet.battery(battery, BUS + 36);
  sheet.text('strong', 116, BUS + 52, say('part.battery'));
  sheet.live('battery.va', '', 116, BUS + 74);
  sheet.live('battery.soc', 'big', 116, BUS + 106);
  sheet.level('soc', 214, BUS + 87, 100, 20);
  sheet.live('battery.words', 'small', 116, BUS + 130);

  const array = 420;
  sheet.wire('dc', array, BUS, array, BUS + 36);
  sheet.joint(array, BUS);
  sheet.flow('regulator', array, BUS + 20, 'up', 'value', array + 20, BUS + 28);
  sheet.converter(array, BUS + 66, 'dc', 'dc');
  sheet.text('strong', array + 42, BUS + 58, say('part.regulator'));
  sheet.live('regulator.state', '', array + 42, BUS + 80);
  sheet.wire('pv', array, BUS + 98, array, BUS + 110);
  sheet.array(array, BUS + 110);
  sheet.text('strong', array + 56, BUS + 120, say('part.array'));
  sheet.live('pv.p', 'big', array + 56, BUS + 148);
  sheet.live('pv.available', 'small', array + 56, BUS + 170);
  const looks = [...(hasUtility(site) ? [['by-utility', 'key.utility']] : []), ['by-inverter', 'key.inverter'], ['dead', 'key.dead']];
  let at = 14;
  for (const [kind, text] of looks) {
    sample(sheet, kind, at, BUS + 194, say(text), 34);
    at += 60 + say(text).length * 8;
  }
  return sheet;
}

/** The circuits of a panel, each with the switch that sheds it. */
function feeders(sheet, zone, x, first, circuits) {
  circuits.forEach((circuit, i) => {
    const y = first + i * PITCH;
    sheet.wire(zone, x, y, x + 10, y);
    const group = make(sheet.front, 'g', { class: 'switch closed', transform: `translate(${x + 10} ${y})` });
    make(group, 'path', { class: 'thin when-closed', d: 'M0 0H28' });
    make(group, 'path', { class: 'thin when-open', d: 'M0 0L22 -11M24 0H28' });
    sheet.load(28, 0, 'right', group);
    sheet.switches.set(`circuit ${circuit.name}`, group);
    sheet.live(`circuit ${circuit.name}`, '', x + 60, y + 6).textContent = words(circuit.name);
  });
}

/** What the lines mean. */
function key(sheet, site, x, y) {
  const rows = [['dead', 'key.dead']];
  if (hasUtility(site)) {
    rows.unshift(['by-utility', 'key.utility']);
  }
  rows.splice(rows.length - 1, 0, ['by-inverter', 'key.inverter']);
  rows.forEach(([look, text], i) => {
    sample(sheet, look, x, y + i * 26, say(text), 44);
  });
}

/** A piece of a line that looks so, and what that means. */
function sample(sheet, look, x, y, text, length) {
  const group = make(sheet.lines, 'g', { class: `zone ${look}` });
  make(group, 'path', { class: 'wire skin', d: `M${x} ${y}h${length}` });
  make(group, 'path', { class: 'wire core', d: `M${x} ${y}h${length}` });
  sheet.text('small', x + length + 10, y + 5, text);
}
