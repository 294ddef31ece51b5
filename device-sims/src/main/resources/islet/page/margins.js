/* How far the run has stayed from each hazard: the worst so far, as a bar that shrinks toward its bound. */
import { make } from './sheet.js';
import { plain } from './numbers.js';
import { say } from './texts.js';

/** With less than this of its bound left a hazard is called near. */
const NEAR = 0.2;

export class Margins {
  constructor(room) {
    this.room = room;
  }

  begin(description) {
    this.room.replaceChildren();
    this.rows = new Map();
    for (const hazard of description.hazards ?? []) {
      const row = document.createElement('div');
      row.className = 'hazard';
      const line = document.createElement('div');
      line.className = 'hazard-line';
      const title = document.createElement('span');
      title.textContent = hazard.title;
      const value = document.createElement('b');
      value.textContent = say('hazards.none');
      line.append(title, value);
      row.append(line);
      // Without an occasion there is no margin, and an empty bar would say that it is used up.
      const svg = make(row, 'svg', { class: 'margin', viewBox: '0 0 300 10', preserveAspectRatio: 'none', 'aria-hidden': 'true', hidden: '' });
      make(svg, 'rect', { class: 'ground', x: 0, y: 0, width: 300, height: 10 });
      const bar = make(svg, 'rect', { class: 'left', x: 0, y: 0, width: 0, height: 10 });
      make(svg, 'path', { class: 'bound', d: 'M1.5 0V10' });
      this.room.append(row);
      this.rows.set(hazard.id, { row, value, svg, bar, shown: '' });
    }
    if (this.rows.size === 0) {
      this.room.textContent = say('hazards.notHere');
    }
  }

  show(store) {
    for (const [id, parts] of this.rows) {
      const margin = store.margins.get(id);
      if (!margin) {
        continue;
      }
      const never = margin.occasion === false;
      const broken = !never && (margin.violated || margin.share < 0);
      const near = !never && !broken && margin.share < NEAR;
      const words = never
        ? say(store.recorded ? 'hazards.never' : 'hazards.none')
        : broken
          ? say(margin.waived ? 'hazards.waived' : 'hazards.broken', amount(margin))
          : say(near ? 'hazards.near' : 'hazards.left', amount(margin));
      const text = margin.worstAt ? say('hazards.when', { words, time: store.clock.time(margin.worstAt) }) : words;
      if (parts.shown !== text) {
        parts.shown = text;
        parts.value.textContent = text;
        parts.row.className = `hazard${broken ? ' broken' : near ? ' near' : ''}`;
        // A recording's verdict has the margin, not its share.
        const known = !never && Number.isFinite(margin.share);
        parts.svg.toggleAttribute('hidden', !known);
        parts.bar.setAttribute('width', known ? 300 * Math.max(0, Math.min(1, margin.share)) : 0);
      }
    }
  }
}

/** A plain count has the unit 1, which nobody says. */
function amount(margin) {
  return { margin: plain(margin.margin), unit: margin.unit === '1' ? '' : margin.unit };
}
