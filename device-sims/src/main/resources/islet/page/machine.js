/*
 * The mode machine: modes on a ring as in the documents' picture, the present one filled, its ways out drawn stronger,
 * the last way taken strongest; beside it the rows that are being read now, with the time limit of the step.
 */
import { make } from './sheet.js';
import { duration, quantity, span, words } from './numbers.js';
import { say } from './texts.js';

/** Clockwise from the top: the way out along the right, the way back along the left. */
const RING = ['ISLANDING', 'ISLANDED', 'DARK', 'RECONNECTING', 'HELD', 'GRID_PRESENT', 'STARTING'];
const WIDTH = 760;
const HEIGHT = 560;
const BOX = { width: 176, height: 58 };
const BEND = 20;
const STEPS = 80;

export class Machine {
  constructor(svg, waiting, transition) {
    this.svg = svg;
    this.waiting = waiting;
    this.transition = transition;
    waiting.className = 'waiting';
  }

  begin(description) {
    this.phases = new Map(description.phases.map((phase) => [phase.name, phase]));
    this.rows = description.rows;
    this.waits = new Map((description.waits ?? []).map((wait) => [wait.name, wait.what]));
    this.present = undefined;
    this.phase = undefined;
    this.taken = undefined;
    this.draw();
    if (description.bench === false) {
      this.listRows();
    }
  }

  draw() {
    const { svg } = this;
    svg.replaceChildren();
    svg.setAttribute('viewBox', `0 0 ${WIDTH} ${HEIGHT}`);
    this.arrows = new Map();
    const under = make(svg, 'g');
    this.boxes = new Map();
    for (const row of this.rows) {
      const from = this.phases.get(row.from)?.mode;
      const to = this.phases.get(row.to)?.mode;
      const name = `${from} ${to}`;
      if (from && to && from !== to && !this.arrows.has(name)) {
        this.arrows.set(name, arrow(under, from, to));
      }
    }
    for (const mode of RING) {
      const { x, y } = centre(mode);
      const group = make(svg, 'g');
      make(group, 'rect', { class: 'mode-box', x: x - BOX.width / 2, y: y - BOX.height / 2, width: BOX.width, height: BOX.height });
      make(group, 'text', { class: 'mode-name middle', x, y: y + 6 }, say(`mode.${mode}.short`));
      this.boxes.set(mode, group);
    }
  }

  show(store) {
    const mode = store.mode;
    const taken = store.transition ? `${store.transition.from} ${store.transition.to}` : '';
    if (mode !== this.present || taken !== this.taken) {
      this.present = mode;
      this.taken = taken;
      for (const [name, group] of this.boxes) {
        group.setAttribute('class', name === mode ? 'present' : '');
      }
      for (const [name, parts] of this.arrows) {
        const look = name === taken ? ' taken' : name.startsWith(`${mode} `) ? ' out' : '';
        parts.path.setAttribute('class', `arrow${look}`);
        parts.tip.setAttribute('class', `arrow-tip${look}`);
      }
      this.svg.setAttribute('aria-label', mode ? say('modes.picture', { mode: say(`mode.${mode}`) }) : say('modes.name'));
    }
    this.tell(store);
    this.wait(store);
  }

  tell(store) {
    const { transition } = store;
    const text = transition
      ? say('modes.last', {
          time: store.clock.time(transition.at),
          from: say(`mode.${transition.from}`),
          to: say(`mode.${transition.to}`),
          reason: transition.reason ? transition.reason.charAt(0).toUpperCase() + transition.reason.slice(1) : say('modes.noReason'),
        })
      : say('modes.none');
    if (this.transition.textContent !== text) {
      this.transition.textContent = text;
    }
  }

  wait(store) {
    const name = store.truth?.phase;
    const known = name ? this.phases.get(name) : undefined;
    if (name !== this.phase) {
      this.phase = name;
      this.listRows(known, store.mode);
    }
    if (known && this.timer) {
      const since = store.truth.phaseForS ?? 0;
      const limit = store.truth.phaseLimitS || known.limitS;
      const text = limit > 0 ? say('modes.timer', { since: duration(since), limit: duration(limit) }) : say('modes.since', { since: duration(since) });
      if (this.timer.textContent !== text) {
        this.timer.textContent = text;
        this.progress.hidden = !(limit > 0);
        this.progress.max = limit || 1;
        this.progress.value = Math.min(since, limit || 0);
      }
    }
    this.count(name ? store.truth.waits ?? '' : '');
    const grid = store.told('supervisor');
    const qualifies = grid && grid.qualifiedInS > 0 && grid.grid === 'RETURNING' ? say('modes.qualifies', { time: duration(grid.qualifiedInS) }) : '';
    if (this.qualifies && this.qualifies.textContent !== qualifies) {
      this.qualifies.textContent = qualifies;
    }
  }

  /** What the rows wait for by time: `43 BAND 12.5/300`, with a comma between several. */
  count(text) {
    if (text === this.counted) {
      return;
    }
    this.counted = text;
    const heard = new Map();
    for (const part of text.split(', ')) {
      const [, no, name, passed, limit] = /^(\d+) (\w+) ([\d.]+)\/([\d.]+)$/.exec(part) ?? [];
      if (no) {
        heard.set(no, [...(heard.get(no) ?? []), { name, passed: Number(passed), limit: Number(limit) }]);
      }
    }
    for (const [no, row] of this.listed ?? []) {
      const counts = heard.get(no) ?? [];
      while (row.children.length > counts.length) {
        row.lastChild.remove();
      }
      counts.forEach((count, i) => tellCount(row.children[i] ?? row.appendChild(countLine()), count, this.waits));
    }
  }

  listRows(phase) {
    this.waiting.replaceChildren();
    this.listed = new Map();
    this.counted = undefined;
    this.timer = undefined;
    this.qualifies = undefined;
    if (!phase) {
      const none = document.createElement('p');
      none.className = 'quiet';
      none.textContent = say('modes.noPhase');
      this.waiting.append(none);
      return;
    }
    const add = (name, text, look = '') => {
      const element = document.createElement(name);
      element.textContent = text;
      element.className = look;
      this.waiting.append(element);
      return element;
    };
    add('h3', say('modes.step', { step: words(phase.name) }));
    add('p', phase.meaning ?? '', 'quiet');
    this.timer = add('p', '');
    this.progress = add('progress', '');
    this.progress.setAttribute('aria-label', say('modes.limit'));
    this.qualifies = add('p', '');
    add('h3', say('modes.ways'));
    const list = document.createElement('ol');
    for (const row of this.rows.filter((one) => one.from === phase.name)) {
      const item = document.createElement('li');
      const number = document.createElement('span');
      number.textContent = row.no;
      number.className = 'quiet';
      const words_ = document.createElement('span');
      const to = this.phases.get(row.to)?.mode;
      words_.textContent = `${row.on} \u2192 ${say(`mode.${to}.short`)}${row.doing ? ` (${row.doing})` : ''}`;
      const counts = document.createElement('div');
      counts.className = 'counts';
      this.listed.set(String(row.no), counts);
      words_.append(counts);
      item.append(number, words_);
      list.append(item);
    }
    this.waiting.append(list);
  }
}

function countLine() {
  const line = document.createElement('p');
  const text = document.createElement('span');
  line.append(text, document.createElement('progress'));
  return line;
}

/** Tenths of a second while the whole is short. What has run out waits for something else. */
function tellCount(line, { name, passed, limit }, meanings) {
  const [text, progress] = line.children;
  const what = meanings.get(name) ?? words(name);
  const so = Math.min(passed, limit);
  const told = say('modes.counts', { what, passed: limit < 10 ? quantity(so, 1, 's') : duration(so), limit: span(limit) });
  if (text.textContent !== told) {
    text.textContent = told;
    line.dataset.wait = name;
    line.classList.toggle('over', passed >= limit);
    progress.max = limit || 1;
    progress.value = Math.min(passed, limit);
    progress.setAttribute('aria-label', what);
  }
}

function centre(mode) {
  const angle = (2 * Math.PI * RING.indexOf(mode)) / RING.length - Math.PI / 2;
  return { x: WIDTH / 2 + 282 * Math.cos(angle), y: 288 + 242 * Math.sin(angle) };
}

function inside(mode, x, y) {
  const at = centre(mode);
  return Math.abs(x - at.x) < BOX.width / 2 + 3 && Math.abs(y - at.y) < BOX.height / 2 + 3;
}

function arrow(parent, from, to) {
  const a = centre(from);
  const b = centre(to);
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const length = Math.hypot(dx, dy);
  const control = { x: (a.x + b.x) / 2 - (dy / length) * 2 * BEND, y: (a.y + b.y) / 2 + (dx / length) * 2 * BEND };
  const points = [];
  for (let i = 0; i <= STEPS; i++) {
    const t = i / STEPS;
    const x = (1 - t) ** 2 * a.x + 2 * t * (1 - t) * control.x + t * t * b.x;
    const y = (1 - t) ** 2 * a.y + 2 * t * (1 - t) * control.y + t * t * b.y;
    if (!inside(from, x, y) && !inside(to, x, y)) {
      points.push([x, y]);
    }
  }
  const [endX, endY] = points[points.length - 1];
  const [nearX, nearY] = points[Math.max(0, points.length - 6)];
  const scale = 13 / Math.max(1e-9, Math.hypot(endX - nearX, endY - nearY));
  const ux = (endX - nearX) * scale;
  const uy = (endY - nearY) * scale;
  const data = points.slice(0, -3).map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');
  const path = make(parent, 'path', { class: 'arrow', d: data });
  const tip = make(parent, 'path', {
    class: 'arrow-tip',
    d: `M${endX} ${endY}L${endX - ux - uy * 0.45} ${endY - uy + ux * 0.45}L${endX - ux + uy * 0.45} ${endY - uy - ux * 0.45}Z`,
  });
  return { path, tip };
}
