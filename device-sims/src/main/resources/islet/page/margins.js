/*
 * How far the run is from each hazard: what is left now as a bar that shrinks toward its bound, with a mark at the
 * least that was ever left. Of a recording, the least of the whole run is the bar.
 */
import { make } from './sheet.js';
import { figure } from './numbers.js';
import { say } from './texts.js';

/** With less than this of its bound left a hazard is called near. */
const NEAR = 0.2;

const WIDTH = 300;
const HEIGHT = 14;
const BAR = { y: 3, height: 8 };

export class Margins {
  constructor(room) {
    this.room = room;
  }

  begin(description) {
    this.room.replaceChildren();
    this.rows = new Map();
    for (const hazard of description.hazards ?? []) {
      this.rows.set(hazard.id, this.row(hazard));
    }
    if (this.rows.size === 0) {
      this.room.textContent = say('hazards.notHere');
    }
  }

  row(hazard) {
    const row = document.createElement('details');
    row.className = 'hazard';
    row.dataset.hazard = hazard.id;
    const head = document.createElement('summary');
    const line = document.createElement('div');
    line.className = 'hazard-line';
    const title = document.createElement('span');
    title.textContent = hazard.title;
    const value = document.createElement('b');
    value.textContent = say('hazards.none');
    line.append(title, value);
    head.append(line);
    // Without an occasion there is no margin, and an empty bar would say that it is used up.
    const svg = make(head, 'svg', { class: 'margin', viewBox: `0 0 ${WIDTH} ${HEIGHT}`, preserveAspectRatio: 'none', role: 'img', hidden: '' });
    make(svg, 'rect', { class: 'ground', x: 0, y: BAR.y, width: WIDTH, height: BAR.height });
    const bar = make(svg, 'rect', { class: 'left', x: 0, y: BAR.y, width: 0, height: BAR.height });
    make(svg, 'path', { class: 'bound', d: `M1.5 ${BAR.y}V${BAR.y + BAR.height}` });
    const mark = make(svg, 'g', { class: 'worst', visibility: 'hidden' });
    make(mark, 'path', { class: 'worst-edge', d: `M0 0V${HEIGHT}` });
    make(mark, 'path', { class: 'worst-mark', d: `M0 0V${HEIGHT}` });
    const worst = document.createElement('span');
    worst.className = 'hazard-worst quiet';
    head.append(worst);
    const why = document.createElement('div');
    why.className = 'hazard-why';
    row.append(head, why);
    this.room.append(row);
    return { row, value, svg, bar, mark, worst, why, shown: '' };
  }

  show(store) {
    for (const [id, parts] of this.rows) {
      const margin = store.margins.get(id);
      if (margin) {
        this.showOne(parts, margin, store);
      }
    }
  }

  showOne(parts, margin, store) {
    const never = margin.occasion === false;
    const broken = !never && (margin.violated || margin.share < 0);
    const near = !never && !broken && margin.share < NEAR;
    const least = never
      ? say(store.recorded ? 'hazards.never' : 'hazards.none')
      : broken
        ? say(margin.waived ? 'hazards.waived' : 'hazards.broken', amount(margin.margin, margin.unit))
        : say(near ? 'hazards.near' : 'hazards.left', amount(margin.margin, margin.unit));
    const words = store.recorded
      ? { now: margin.worstAt ? say('hazards.when', { words: least, time: store.clock.time(margin.worstAt) }) : least, worst: '' }
      : { now: present(margin), worst: say('hazards.worst', { words: least }) };
    const why = store.recorded
      ? [margin.detail]
      : [margin.present ? say('hazards.nowWhy', { words: margin.presentDetail }) : '', say('hazards.worstWhy', { words: margin.detail })];
    const shown = [words.now, words.worst, ...why].join('\n');
    if (parts.shown === shown) {
      return;
    }
    parts.shown = shown;
    parts.value.textContent = words.now;
    parts.value.className = !store.recorded && !margin.present ? 'idle' : '';
    parts.worst.textContent = words.worst;
    parts.row.classList.toggle('broken', broken);
    parts.row.classList.toggle('near', near);
    parts.why.replaceChildren(
      ...why.filter(Boolean).map((text) => {
        const made = document.createElement('p');
        made.textContent = text;
        return made;
      }),
    );
    const lowest = never ? NaN : margin.share;
    const bar = store.recorded ? lowest : margin.present ? margin.presentShare : NaN;
    const mark = store.recorded ? NaN : lowest;
    parts.svg.toggleAttribute('hidden', !Number.isFinite(bar) && !Number.isFinite(mark));
    parts.bar.setAttribute('width', Number.isFinite(bar) ? WIDTH * within(bar) : 0);
    parts.mark.setAttribute('visibility', Number.isFinite(mark) ? 'visible' : 'hidden');
    parts.mark.setAttribute('transform', `translate(${Number.isFinite(mark) ? 1.5 + (WIDTH - 3) * within(mark) : 0} 0)`);
    parts.svg.setAttribute(
      'aria-label',
      [Number.isFinite(bar) ? say(store.recorded ? 'hazards.barWorst' : 'hazards.barNow', { share: percent(bar) }) : words.now]
        .concat(Number.isFinite(mark) ? say('hazards.barMark', { share: percent(mark) }) : [])
        .join('; '),
    );
  }
}

/** What is left now, in words. */
function present(margin) {
  if (!margin.present) {
    return say('hazards.notNow');
  }
  return margin.presentMargin < 0
    ? say('hazards.beyond', amount(-margin.presentMargin, margin.presentUnit))
    : say(margin.presentShare < NEAR ? 'hazards.near' : 'hazards.left', amount(margin.presentMargin, margin.presentUnit));
}

const within = (share) => Math.max(0, Math.min(1, share));

const percent = (share) => Math.round(100 * within(share));

/** A plain count has the unit 1, which nobody says. */
function amount(margin, unit) {
  return { margin: figure(margin), unit: unit === '1' ? '' : unit };
}
