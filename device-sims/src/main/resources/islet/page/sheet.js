/*
 * The paper that one-line diagrams are drawn on: symbols in the manner of IEC 60617 and IEEE 315, and handles on what
 * changes while the site lives. A drawing is made once; afterwards only classes, transforms and texts are touched, and
 * those only when they differ.
 */

const SVG = 'http://www.w3.org/2000/svg';

/** Makes an SVG element. Looks come from classes, so that no inline style is needed. */
export function make(parent, name, attributes = {}, text = '') {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) {
    element.setAttribute(key, value);
  }
  if (text) {
    element.textContent = text;
  }
  parent.append(element);
  return element;
}

const TURN = { right: 0, down: 90, left: 180, up: 270 };

export class Sheet {
  constructor(svg, width, height, left = 0, top = 0) {
    svg.replaceChildren();
    svg.setAttribute('viewBox', `${left} ${top} ${width} ${height}`);
    this.svg = svg;
    this.lines = make(svg, 'g');
    this.front = make(svg, 'g');
    this.zones = new Map();
    this.flows = new Map();
    this.texts = new Map();
    this.switches = new Map();
    this.parts = new Map();
    this.last = new Map();
  }

  /** A conductor; its look follows what energises its zone. Corners are given as x, y, x, y … */
  wire(zone, ...points) {
    this.conductor(zone, 'wire', points);
  }

  /** A bus bar. */
  bar(zone, ...points) {
    this.conductor(zone, 'bar', points);
  }

  conductor(zone, look, points) {
    let data = '';
    for (let i = 0; i < points.length; i += 2) {
      data += `${i === 0 ? 'M' : 'L'}${points[i]} ${points[i + 1]}`;
    }
    const group = this.zone(zone);
    make(group.outer, 'path', { class: `${look} skin`, d: data });
    make(group.inner, 'path', { class: `${look} core`, d: data });
  }

  /** Cores lie over all skins of their zone, so that corners and branches stay clean. */
  zone(name) {
    let zone = this.zones.get(name);
    if (!zone) {
      const group = make(this.lines, 'g', { class: 'zone unknown' });
      group.dataset.zone = name;
      zone = { group, outer: make(group, 'g'), inner: make(group, 'g') };
      this.zones.set(name, zone);
    }
    return zone;
  }

  joint(x, y) {
    make(this.front, 'circle', { class: 'dot', cx: x, cy: y, r: 5 });
  }

  text(look, x, y, text) {
    return make(this.front, 'text', { class: look, x, y }, text);
  }

  /** A text that changes. */
  live(key, look, x, y) {
    const element = make(this.front, 'text', { class: look, x, y });
    element.dataset.text = key;
    this.texts.set(key, element);
    return element;
  }

  /**
   * An arrow on a conductor that shows which way power flows, with its size in words beside it.
   * `way` is where it points when the power is positive.
   */
  flow(key, x, y, way, look, textX, textY) {
    const arrow = make(this.front, 'g', { class: 'flow', 'data-flow': key });
    make(arrow, 'path', { class: 'flow-tip', d: 'M-11 -11L13 0L-11 11Z' });
    const text = make(this.front, 'text', { class: look, x: textX, y: textY });
    this.flows.set(key, { arrow, text, x, y, turn: TURN[way] });
    arrow.setAttribute('transform', `translate(${x} ${y}) rotate(${TURN[way]})`);
  }

  source(x, y) {
    make(this.front, 'circle', { class: 'box', cx: x, cy: y, r: 28 });
    this.sine(this.front, x, y, 15);
  }

  sine(parent, x, y, half) {
    make(parent, 'path', {
      class: 'thin',
      d: `M${x - half} ${y}Q${x - half / 2} ${y - half * 1.3} ${x} ${y}Q${x + half / 2} ${y + half * 1.3} ${x + half} ${y}`,
    });
  }

  /** A meter for energy: a box with a head line. */
  meter(x, y) {
    make(this.front, 'rect', { class: 'box', x: x - 28, y: y - 24, width: 56, height: 48 });
    make(this.front, 'path', { class: 'thin', d: `M${x - 28} ${y - 10}H${x + 28}` });
    this.text('middle small', x, y + 13, 'kWh');
  }

  /** A converter: a box halved by a diagonal, each half with the kind of its current. */
  converter(x, y, above, below) {
    make(this.front, 'rect', { class: 'box', x: x - 32, y: y - 32, width: 64, height: 64 });
    make(this.front, 'path', { class: 'thin', d: `M${x - 32} ${y + 32}L${x + 32} ${y - 32}` });
    this.current(x - 13, y - 14, above);
    this.current(x + 13, y + 15, below);
  }

  current(x, y, kind) {
    if (kind === 'ac') {
      this.sine(this.front, x, y, 11);
    } else {
      make(this.front, 'path', { class: 'thin', d: `M${x - 10} ${y - 4}h20M${x - 10} ${y + 4}h4m4 0h4m4 0h4` });
    }
  }

  /** A battery of some cells: long plates are positive. The lead comes from above. */
  battery(x, y) {
    for (let cell = 0; cell < 3; cell++) {
      make(this.front, 'path', { class: 'thin', d: `M${x - 26} ${y + cell * 16}h52` });
      make(this.front, 'path', { class: 'plate', d: `M${x - 12} ${y + 8 + cell * 16}h24` });
    }
    this.text('small', x - 44, y + 5, '+');
    this.text('small', x - 44, y + 45, '\u2212');
    make(this.front, 'path', { class: 'thin', d: `M${x} ${y + 42}v16` });
    this.earth(x, y + 58);
  }

  earth(x, y) {
    make(this.front, 'path', { class: 'thin', d: `M${x - 14} ${y}h28M${x - 9} ${y + 6}h18M${x - 4} ${y + 12}h8` });
  }

  /** A photovoltaic array: a cell's two plates in a box, and light coming in. */
  array(x, y) {
    make(this.front, 'rect', { class: 'box', x: x - 46, y, width: 92, height: 46 });
    make(this.front, 'path', { class: 'thin', d: `M${x - 30} ${y + 30}h36` });
    make(this.front, 'path', { class: 'plate', d: `M${x - 20} ${y + 37}h16` });
    for (const dx of [8, 24]) {
      make(this.front, 'path', { class: 'thin', d: `M${x + dx + 12} ${y + 7}l-12 12m0 -7v7h7` });
    }
  }

  /** A load: the arrow at the end of its feeder. */
  load(x, y, way = 'right', parent = this.front) {
    make(parent, 'path', { class: 'dot', d: 'M-2 -7L13 0L-2 7Z', transform: `translate(${x} ${y}) rotate(${TURN[way]})` });
  }

  /** All loads of a panel on one feeder that hangs from its bus bar. */
  feeder(zone, x, y) {
    this.wire(zone, x, y, x, y + 18);
    const group = make(this.front, 'g', { class: 'switch closed' });
    this.load(x, y + 18, 'down', group);
    this.switches.set(`feeder ${zone}`, group);
  }

  /** The same beside a bus bar that stands upright. */
  feederAside(zone, x, y) {
    this.wire(zone, x, y, x + 30, y);
    const group = make(this.front, 'g', { class: 'switch closed' });
    this.load(x + 30, y, 'right', group);
    this.switches.set(`feeder ${zone}`, group);
  }

  /** A disconnector: a blade, and a bar across its fixed contact. `way` is from pivot to contact. */
  disconnector(key, x, y, way) {
    this.blade(key, x, y, way, 'M52 -9V9', 'M0 0L52 0', 'M0 0L44 -25');
  }

  /** A contactor: a half circle at its fixed contact. */
  contactor(key, x, y, way) {
    this.blade(key, x, y, way, 'M60 -8A8 8 0 0 0 60 8', 'M0 0L60 0', 'M0 0L50 -28');
  }

  blade(key, x, y, way, contact, closed, open) {
    const group = make(this.front, 'g', { class: 'switch unknown', transform: `translate(${x} ${y}) rotate(${TURN[way]})` });
    make(group, 'path', { class: 'thin', d: contact });
    make(group, 'path', { class: 'blade when-closed', d: closed });
    make(group, 'path', { class: 'blade when-open', d: open });
    group.dataset.switch = key;
    this.switches.set(key, group);
  }

  /** Two fixed contacts and one blade: position 1 on the utility, position 2 on the inverter. */
  changeover(key, x, y, way, apart) {
    const group = make(this.front, 'g', { class: 'switch unknown', transform: `translate(${x} ${y}) rotate(${TURN[way]})` });
    make(group, 'circle', { class: 'dot', cx: 0, cy: -apart, r: 5 });
    make(group, 'circle', { class: 'dot', cx: 0, cy: apart, r: 5 });
    make(group, 'circle', { class: 'dot', cx: 64, cy: 0, r: 5 });
    make(group, 'path', { class: 'blade when-closed', d: `M64 0L2 ${-apart}` });
    make(group, 'path', { class: 'blade when-open', d: `M64 0L2 ${apart}` });
    group.dataset.switch = key;
    this.switches.set(key, group);
  }

  /** A padlock, shown while a hold blocks a switch. */
  padlock(key, x, y) {
    const group = make(this.front, 'g', { class: 'padlock', transform: `translate(${x} ${y})` });
    make(group, 'path', { class: 'shackle', d: 'M-7 0V-7A7 7 0 0 1 7 -7V0' });
    make(group, 'rect', { class: 'lock', x: -11, y: 0, width: 22, height: 17 });
    this.parts.set(key, group);
  }

  /** A level: a frame that is filled from the left, and a mark. */
  level(key, x, y, width, height) {
    make(this.front, 'rect', { class: 'level-frame', x, y, width, height });
    const fill = make(this.front, 'rect', { class: 'level-fill', x, y, width: 0, height });
    const mark = make(this.front, 'path', { class: 'level-mark', d: `M0 ${y - 5}V${y + height + 5}` });
    this.parts.set(key, { fill, mark, x, width });
  }

  // What follows changes a drawing that is there.

  /** Whether a key has a new value. */
  differs(key, value) {
    if (this.last.get(key) === value) {
      return false;
    }
    this.last.set(key, value);
    return true;
  }

  setZone(name, look) {
    const zone = this.zones.get(name);
    if (zone && this.differs(`zone ${name}`, look)) {
      zone.group.setAttribute('class', `zone ${look}`);
    }
  }

  setText(key, text, look = '') {
    const element = this.texts.get(key);
    if (element && this.differs(`text ${key}`, text)) {
      element.textContent = text;
    }
    if (element && look && this.differs(`look ${key}`, look)) {
      element.setAttribute('class', look);
    }
  }

  /** @param {number} sign 1 along the drawn way, -1 against it, 0 for no flow */
  setFlow(key, sign, text) {
    const flow = this.flows.get(key);
    if (!flow) {
      return;
    }
    if (this.differs(`flow ${key}`, sign)) {
      flow.arrow.setAttribute('class', sign === 0 ? 'flow none' : 'flow');
      flow.arrow.dataset.way = String(sign);
      const turn = sign < 0 ? flow.turn + 180 : flow.turn;
      flow.arrow.setAttribute('transform', `translate(${flow.x} ${flow.y}) rotate(${turn})`);
    }
    if (this.differs(`flow text ${key}`, text)) {
      flow.text.textContent = text;
    }
  }

  setSwitch(key, look) {
    const element = this.switches.get(key);
    if (element && this.differs(`switch ${key}`, look)) {
      element.setAttribute('class', `switch ${look}`);
    }
  }

  setShown(key, shown) {
    const element = this.parts.get(key);
    if (element && this.differs(`shown ${key}`, shown)) {
      element.classList.toggle('shown', shown);
    }
  }

  setLevel(key, share, mark) {
    const level = this.parts.get(key);
    if (level && this.differs(`level ${key}`, `${share} ${mark}`)) {
      level.fill.setAttribute('width', Math.max(0, Math.min(1, share)) * level.width || 0);
      level.mark.setAttribute('transform', `translate(${level.x + (mark || 0) * level.width} 0)`);
    }
  }
}
