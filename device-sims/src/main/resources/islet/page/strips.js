/* Strips over time: one time axis, one cursor, the same window in all. Drawn with uPlot, read by slider or table. */
import uPlot from './lib/uplot/uPlot.esm.js';
import { COLUMNS } from './history.js';
import { SiteClock, quantity, words } from './numbers.js';
import { say } from './texts.js';

/** Modes in the order of their numbers in the history. */
export const MODES = ['STARTING', 'GRID_PRESENT', 'ISLANDING', 'ISLANDED', 'RECONNECTING', 'DARK', 'HELD'];

/** Lines are told apart by weight and dash, not by colour. */
export const SOLID = { width: 2.4, dash: [] };
const THIN = { width: 1.2, dash: [] };
export const DASHED = { width: 2, dash: [9, 5] };
const DOTTED = { width: 2.2, dash: [2, 4] };

/** The strips of one site. A series is a column, its line, and its name where that is no text of the page's. */
const STRIPS = [
  { name: 'mode', height: 46, series: [], modes: [['mode']] },
  {
    name: 'voltage', unit: 'V', decimals: 2, height: 170, span: 1, on: ['battery.voltage_V', 'bus.voltage_V'],
    series: [['battery', SOLID], ['bus', THIN], ['set', DASHED]],
  },
  { name: 'soc', unit: '%', decimals: 1, height: 130, span: 5, scale: 100, on: ['battery.soc'], series: [['soc', SOLID], ['reserve', DASHED]] },
  {
    name: 'power', unit: 'kW', decimals: 2, height: 190, span: 0.5, scale: 0.001,
    series: [['pcc', SOLID], ['pv', DOTTED], ['batteryPower', DASHED], ['critical', THIN]],
  },
  { name: 'price', unit: '', decimals: 3, height: 100, span: 0.05, series: [['import', SOLID], ['export', DASHED]] },
];

/** The window is at least this wide, s. */
const NARROWEST_S = 10;

export class Strips {
  /** @param {{columns: string[], strips: object[]}} plan what is drawn; one site's unless said */
  constructor(room, tools, rows, table, plan = { columns: COLUMNS, strips: STRIPS }) {
    this.plan = plan;
    this.room = room;
    this.table = table;
    this.rows = rows;
    this.plots = [];
    this.window = undefined;
    this.cursor = undefined;
    this.instant = undefined;
    this.tools(tools);
    new ResizeObserver(() => this.resize()).observe(room);
    for (const query of ['(prefers-color-scheme: dark)']) {
      matchMedia(query).addEventListener('change', () => this.inked());
    }
    table.addEventListener('toggle', () => this.tabulate());
  }

  column(name) {
    return this.plan.columns.indexOf(name);
  }

  begin(description) {
    this.clock = new SiteClock(description.site.zone);
    this.settings = description.settings ?? [];
    this.currency = description.site.currency ?? '';
    this.window = undefined;
    this.build();
  }

  tools(tools) {
    const button = (key, does) => {
      const made = document.createElement('button');
      made.type = 'button';
      made.textContent = say(key);
      made.addEventListener('click', does);
      tools.append(made);
      return made;
    };
    this.earlier = button('strips.earlier', () => this.shift(-0.5));
    button('strips.later', () => this.shift(0.5));
    button('strips.in', () => this.zoom(0.5));
    button('strips.out', () => this.zoom(2));
    button('strips.all', () => this.showAll());
    const label = document.createElement('label');
    const name = document.createElement('span');
    name.textContent = say('strips.cursor');
    this.slider = document.createElement('input');
    this.slider.type = 'range';
    this.slider.min = '0';
    this.slider.max = '1000';
    this.slider.value = '1000';
    this.slider.addEventListener('input', () => this.slide());
    label.append(name, this.slider);
    this.readout = document.createElement('output');
    this.readout.className = 'readout';
    tools.append(label, this.readout);
    this.watchView();
  }

  inks() {
    const style = getComputedStyle(document.body);
    const probe = (name) => {
      this.probe.style.color = `var(${name})`;
      return getComputedStyle(this.probe).color;
    };
    if (!this.probe) {
      this.probe = document.createElement('span');
      document.body.append(this.probe);
      this.probe.hidden = true;
    }
    return {
      ink: style.color, quiet: probe('--quiet'), faint: probe('--faint'), mid: probe('--mid'), paper: probe('--paper'),
      shade: probe('--shade'), warn: probe('--warn-ground'), dark: probe('--alarm-ground'),
    };
  }

  inked() {
    if (this.clock) {
      this.build();
      this.seen = -1;
    }
  }

  build() {
    this.ink = this.inks();
    this.plots.forEach((plot) => plot.destroy());
    this.room.replaceChildren();
    this.plots = this.plan.strips.map((strip) => this.plot(strip));
    this.seen = -1;
  }

  plot(strip) {
    const figure = document.createElement('figure');
    figure.className = 'strip';
    figure.style.margin = '0';
    const caption = document.createElement('figcaption');
    caption.className = 'strip-name';
    const title = document.createElement('b');
    title.textContent = say(`strip.${strip.name}`, { currency: this.currency }) + (strip.unit ? `, ${strip.unit}` : '');
    caption.append(title);
    strip.series.forEach((series) => caption.append(sample(series[1], nameOf(series))));
    figure.append(caption);
    this.room.append(figure);

    const axis = { stroke: this.ink.quiet, grid: { stroke: this.ink.faint, width: 1 }, ticks: { stroke: this.ink.faint, width: 1 }, font: '13px system-ui, sans-serif' };
    const last = strip === this.plan.strips[this.plan.strips.length - 1];
    const times = {
      ...axis,
      size: 30,
      space: 90,
      values: (u, splits) => splits.map((at) => (this.span() < 300 ? this.clock.time(at * 1000) : this.clock.minute(at * 1000))),
    };
    const values = { ...axis, size: 58, space: 26 };
    if (strip.name === 'mode') {
      values.show = true;
      values.values = (u, splits) => splits.map(() => '');
      values.grid = { show: false };
      values.ticks = { show: false };
    }
    const options = {
      width: Math.max(200, this.room.clientWidth),
      height: strip.height + (last ? 30 : 0),
      padding: [6, 78, 2, 0],
      legend: { show: false },
      cursor: { sync: { key: 'strips' }, y: false, points: { show: false }, drag: { x: true, y: false, setScale: false } },
      scales: { x: { time: false, range: () => this.range() }, y: { range: (u, low, high) => room(strip, low, high) } },
      axes: [last ? times : { ...times, size: 0, values: (u, splits) => splits.map(() => '') }, values],
      series: [
        {},
        ...(strip.name === 'mode'
          ? [{ show: true, scale: 'y', stroke: 'transparent', points: { show: false } }]
          : strip.series.map(([name, line]) => ({ stroke: this.ink.ink, width: line.width, dash: line.dash, points: { show: false }, paths: stepped(name) ? uPlot.paths.stepped({ align: 1 }) : undefined }))),
      ],
      hooks: {
        draw: [(u) => (strip.name === 'mode' ? this.drawModes(u) : this.drawSettings(u, strip)), (u) => drawEnds(u, strip, this.ink.ink), (u) => this.drawInstant(u)],
        setCursor: [(u) => this.moved(u)],
        setSelect: [(u) => this.selected(u)],
      },
    };
    const plot = new uPlot(options, this.data(strip), figure);
    plot.over.addEventListener('dblclick', () => this.showAll());
    return plot;
  }

  data(strip) {
    const all = this.columns ?? this.plan.columns.map(() => []);
    if (strip.name === 'mode') {
      return [all[0], all[0].map(() => 0.5)];
    }
    const scale = strip.scale ?? 1;
    return [all[0], ...strip.series.map(([name]) => scaled(all[this.column(name)], scale))];
  }

  /** Nobody sees strips that are scrolled away: they are drawn when they come into view, or on paper. */
  watchView() {
    this.inView = true;
    new IntersectionObserver((entries) => {
      this.inView = entries[entries.length - 1].isIntersecting;
      if (this.inView) {
        this.fill();
      }
    }).observe(this.room);
    addEventListener('beforeprint', () => this.fill());
  }

  fill() {
    if (this.stale) {
      this.stale = false;
      this.plots.forEach((plot, i) => plot.setData(this.data(this.plan.strips[i]), true));
    }
  }

  /** Draws what has come, at most once for each new state of the history. */
  show(history) {
    if (!this.clock || history.version === this.seen) {
      return;
    }
    this.seen = history.version;
    this.columns = history.columns();
    this.stale = true;
    if (this.inView) {
      this.fill();
    }
    if (!this.columns[0].length) {
      return;
    }
    if (this.cursor === undefined) {
      this.read(this.standing());
    }
    if (this.table.open) {
      this.tabulate();
    }
  }

  /** Marks an instant of a recording, s since 1970. */
  stand(instant) {
    if (!this.clock || this.instant === instant) {
      return;
    }
    this.instant = instant;
    this.plots.forEach((plot) => plot.redraw(false, false));
    if (this.cursor === undefined && this.columns?.[0].length) {
      this.read(this.standing());
    }
  }

  /** The row that is read when no cursor is set: that of the instant, or the newest. */
  standing() {
    const times = this.columns[0];
    let index = times.length - 1;
    while (this.instant !== undefined && index > 0 && times[index] > this.instant) {
      index--;
    }
    return index;
  }

  drawInstant(u) {
    if (this.instant === undefined) {
      return;
    }
    const { ctx } = u;
    const { left, width, top, height } = u.bbox;
    const x = Math.round(u.valToPos(this.instant, 'x', true));
    if (x < left || x > left + width) {
      return;
    }
    ctx.save();
    ctx.fillStyle = this.ink.ink;
    ctx.fillRect(x - devicePixelRatio, top, 2 * devicePixelRatio, height);
    ctx.restore();
  }

  bounds() {
    const times = this.columns?.[0] ?? [];
    return times.length > 0 ? [times[0], Math.max(times[times.length - 1], times[0] + NARROWEST_S)] : [0, NARROWEST_S];
  }

  range() {
    return this.window ?? this.bounds();
  }

  span() {
    const [from, to] = this.range();
    return to - from;
  }

  showAll() {
    this.window = undefined;
    this.redraw();
  }

  zoom(factor) {
    const [from, to] = this.range();
    const middle = this.cursor ?? to;
    const left = (middle - from) * factor;
    const right = (to - middle) * factor;
    this.place(middle - left, middle + Math.max(right, NARROWEST_S - left));
  }

  shift(share) {
    const [from, to] = this.range();
    this.place(from + (to - from) * share, to + (to - from) * share);
  }

  place(from, to) {
    const [first, last] = this.bounds();
    const width = Math.min(to - from, last - first);
    const begin = Math.min(Math.max(from, first), last - width);
    this.window = width >= last - first ? undefined : [begin, begin + width];
    this.redraw();
  }

  redraw() {
    const [min, max] = this.range();
    this.plots.forEach((plot) => plot.setScale('x', { min, max }));
  }

  resize() {
    const width = Math.max(200, this.room.clientWidth);
    this.plots.forEach((plot, i) => {
      if (plot.width !== width) {
        const { strips } = this.plan;
        plot.setSize({ width, height: strips[i].height + (i === strips.length - 1 ? 30 : 0) });
      }
    });
  }

  selected(u) {
    if (u.select.width > 4) {
      this.place(u.posToVal(u.select.left, 'x'), u.posToVal(u.select.left + u.select.width, 'x'));
      u.setSelect({ left: 0, width: 0, top: 0, height: 0 }, false);
    }
  }

  moved(u) {
    if (u.cursor.idx === null || u.cursor.idx === undefined || u.cursor.left < 0) {
      this.cursor = undefined;
      if (this.columns?.[0].length) {
        this.read(this.standing());
      }
      return;
    }
    this.cursor = this.columns?.[0][u.cursor.idx];
    this.read(u.cursor.idx);
  }

  slide() {
    const [from, to] = this.range();
    const at = from + ((to - from) * Number(this.slider.value)) / 1000;
    const left = this.plots[0].valToPos(at, 'x');
    this.plots[0].setCursor({ left, top: 10 });
  }

  read(index) {
    const text = this.line(index).map(([name, value]) => `${name}\u00a0${value}`).join(', ');
    if (this.readout.value !== text) {
      this.readout.value = text;
      this.slider.setAttribute('aria-valuetext', text);
    }
  }

  line(index) {
    const value = (name) => this.columns[this.column(name)][index] ?? NaN;
    const out = [[say('series.at'), this.clock.time(value('at') * 1000)]];
    for (const strip of this.plan.strips) {
      const title = say(`strip.${strip.name}`, { currency: this.currency });
      for (const [name, letter] of strip.modes ?? []) {
        out.push([letter ? `${title} ${letter}` : title, modeName(value(name))]);
      }
      for (const series of strip.series) {
        // Where series bear a site's name, the strip's says what they are of.
        out.push([series[2] ? `${title} ${series[3]}` : nameOf(series), quantity(value(series[0]) * (strip.scale ?? 1), strip.decimals, strip.unit)]);
      }
    }
    return out;
  }

  /** The newest 40 rows of what is shown, as a table. */
  tabulate() {
    if (!this.table.open || !this.columns?.[0].length) {
      return;
    }
    const times = this.columns[0];
    const [from, to] = this.range();
    const first = times.findIndex((at) => at >= from);
    let last = times.length - 1;
    while (last > first && times[last] > to) {
      last--;
    }
    const step = Math.max(1, Math.floor((last - first) / 40));
    this.words = 1 + this.plan.strips.reduce((sum, strip) => sum + (strip.modes?.length ?? 0), 0);
    const table = document.createElement('table');
    const head = table.createTHead().insertRow();
    for (const [name] of this.line(last)) {
      const cell = document.createElement('th');
      cell.scope = 'col';
      cell.textContent = name;
      head.append(cell);
    }
    const body = table.createTBody();
    for (let i = last; i >= Math.max(0, first); i -= step) {
      const row = body.insertRow();
      this.line(i).forEach(([, text], c) => {
        const cell = row.insertCell();
        cell.textContent = text;
        cell.className = c >= this.words ? 'n' : 'when';
      });
    }
    this.rows.replaceChildren(table);
  }

  drawSettings(u, strip) {
    const settings = this.settings.filter((setting) => strip.on?.includes(setting.on));
    const { ctx } = u;
    const low = u.scales.y.min;
    const high = u.scales.y.max;
    ctx.save();
    ctx.strokeStyle = this.ink.quiet;
    ctx.fillStyle = this.ink.quiet;
    ctx.lineWidth = devicePixelRatio;
    ctx.font = `${12 * devicePixelRatio}px system-ui, sans-serif`;
    ctx.textBaseline = 'middle';
    ctx.textAlign = 'left';
    const taken = [];
    for (const setting of settings) {
      const value = setting.value * (strip.scale ?? 1);
      if (value > low && value < high) {
        const y = Math.round(u.valToPos(value, 'y', true));
        ctx.setLineDash([2 * devicePixelRatio, 5 * devicePixelRatio]);
        ctx.beginPath();
        ctx.moveTo(u.bbox.left, y);
        ctx.lineTo(u.bbox.left + u.bbox.width, y);
        ctx.stroke();
        if (taken.every((other) => Math.abs(other - y) > 13 * devicePixelRatio)) {
          taken.push(y);
          this.label(ctx, setting.title, u.bbox.left + u.bbox.width, y);
        }
      }
    }
    ctx.restore();
  }

  /** A set point's name: beside the plot, or inside it above its line where there is no room beside. */
  label(ctx, title, right, y) {
    const gap = 6 * devicePixelRatio;
    if (ctx.measureText(title).width < 70 * devicePixelRatio) {
      ctx.fillText(title, right + gap, y);
      return;
    }
    ctx.textAlign = 'right';
    ctx.setLineDash([]);
    ctx.strokeStyle = this.ink.paper;
    ctx.lineWidth = 4 * devicePixelRatio;
    ctx.strokeText(title, right - gap, y - 9 * devicePixelRatio);
    ctx.fillText(title, right - gap, y - 9 * devicePixelRatio);
    ctx.textAlign = 'left';
    ctx.strokeStyle = this.ink.quiet;
    ctx.lineWidth = devicePixelRatio;
  }

  drawModes(u) {
    if (!this.columns?.[0].length) {
      return;
    }
    const { modes } = this.plan.strips.find((strip) => strip.modes);
    const { ctx } = u;
    const { left, width, top } = u.bbox;
    const height = u.bbox.height / modes.length;
    ctx.save();
    ctx.beginPath();
    ctx.rect(left, top, width, u.bbox.height);
    ctx.clip();
    ctx.font = `600 ${13 * devicePixelRatio}px system-ui, sans-serif`;
    ctx.textBaseline = 'middle';
    ctx.textAlign = 'left';
    modes.forEach(([name], i) => this.drawBand(u, ctx, this.columns[this.column(name)], top + i * height, height));
    ctx.restore();
    if (modes.length > 1) {
      modes.forEach(([, letter], i) => endLetter(u, letter, top + (i + 0.5) * height, this.ink.ink));
    }
  }

  /** The modes of one site over time. */
  drawBand(u, ctx, modes, top, height) {
    const times = this.columns[0];
    const { left, width } = u.bbox;
    let begin = 0;
    for (let i = 1; i <= times.length; i++) {
      if (i === times.length || modes[i] !== modes[begin]) {
        const from = Math.max(left, u.valToPos(times[begin], 'x', true));
        const end = Math.min(left + width, u.valToPos(times[Math.min(i, times.length - 1)], 'x', true));
        if (end >= left && from <= left + width) {
          this.drawMode(ctx, MODES[modes[begin]], from, Math.max(devicePixelRatio, end - from), top, height);
        }
        begin = i;
      }
    }
  }

  drawMode(ctx, mode, x, width, top, height) {
    const grounds = {
      GRID_PRESENT: this.ink.paper, ISLANDED: this.ink.mid, ISLANDING: this.ink.shade, RECONNECTING: this.ink.shade,
      STARTING: this.ink.shade, DARK: this.ink.ink, HELD: this.ink.warn,
    };
    ctx.fillStyle = grounds[mode] ?? this.ink.paper;
    ctx.fillRect(x, top, width, height);
    ctx.strokeStyle = this.ink.quiet;
    ctx.lineWidth = devicePixelRatio;
    ctx.strokeRect(x, top + devicePixelRatio / 2, width, height - devicePixelRatio);
    const text = mode ? say(`mode.${mode}`) : '';
    if (ctx.measureText(text).width < width - 10 * devicePixelRatio) {
      ctx.fillStyle = mode === 'DARK' ? this.ink.paper : this.ink.ink;
      ctx.fillText(text, x + 6 * devicePixelRatio, top + height / 2);
    }
  }
}

const nameOf = ([name, , text]) => text ?? say(`series.${name}`);

/** A letter beside the plot. */
function endLetter(u, letter, y, ink) {
  const { ctx } = u;
  ctx.save();
  ctx.fillStyle = ink;
  ctx.font = `700 ${14 * devicePixelRatio}px system-ui, sans-serif`;
  ctx.textBaseline = 'middle';
  ctx.textAlign = 'left';
  ctx.fillText(letter, u.bbox.left + u.bbox.width + 8 * devicePixelRatio, y);
  ctx.restore();
}

/** Writes the letter of each line that has one where the line ends, so that dashes are not all that tells them apart. */
function drawEnds(u, strip, ink) {
  const ends = [];
  strip.series.forEach(([, , , letter], i) => {
    if (!letter) {
      return;
    }
    const values = u.data[i + 1];
    let at = Math.min(values.length - 1, u.series[0].idxs?.[1] ?? values.length - 1);
    while (at > 0 && values[at] === null) {
      at--;
    }
    if (values[at] !== null && values[at] !== undefined) {
      ends.push({ letter, y: u.valToPos(values[at], 'y', true) });
    }
  });
  const apart = 15 * devicePixelRatio;
  const { top, height } = u.bbox;
  const within = (y, room) => Math.min(Math.max(y, top + room), top + height - room);
  ends.sort((a, b) => a.y - b.y);
  if (ends.length === 2 && ends[1].y - ends[0].y < apart) {
    const middle = within((ends[0].y + ends[1].y) / 2, apart);
    [ends[0].y, ends[1].y] = [middle - apart / 2, middle + apart / 2];
  }
  ends.forEach(({ letter, y }) => endLetter(u, letter, within(y, apart / 2), ink));
}

const stepped = (name) => ['set', 'reserve', 'import', 'export'].includes(name);

function modeName(index) {
  return MODES[index] ? say(`mode.${MODES[index]}`) : words('unknown');
}

const buffers = new Map();

/** A column in the strip's unit; one array for each column and scale, used again and again. */
function scaled(values, scale) {
  if (scale === 1) {
    return values;
  }
  let out = buffers.get(values);
  if (!out) {
    out = [];
    buffers.set(values, out);
  }
  out.length = values.length;
  for (let i = 0; i < values.length; i++) {
    out[i] = values[i] === null ? null : values[i] * scale;
  }
  return out;
}

/** The range of a strip: what is there, at least its usual span, with a little air. */
function room(strip, low, high) {
  if (strip.name === 'mode') {
    return [0, 1];
  }
  if (low === null || high === null || low === undefined || high === undefined) {
    return [0, strip.span];
  }
  const missing = Math.max(0, strip.span - (high - low)) / 2;
  const air = (high - low + 2 * missing) * 0.08;
  let from = low - missing - air;
  let to = high + missing + air;
  if (strip.unit === '%') {
    from = Math.max(0, from);
    to = Math.min(100, to);
  }
  return [from, to];
}

function sample(line, text) {
  const span = document.createElement('span');
  span.innerHTML = '<svg class="sample" viewBox="0 0 36 10" aria-hidden="true"><path d="M0 5H36"/></svg>';
  const path = span.querySelector('path');
  path.setAttribute('stroke-width', line.width);
  path.setAttribute('stroke-dasharray', line.dash.join(' ') || 'none');
  span.append(text);
  return span;
}

