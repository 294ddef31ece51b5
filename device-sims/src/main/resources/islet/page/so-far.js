/* What has come of each site so far, by the bench's books, and the difference; and what sun, loads and utility are now. */
import { NONE, duration, fixed, power, quantity } from './numbers.js';
import { say } from './texts.js';

const kWh = (value) => fixed(value, 3);
const seconds = (value) => (value < 120 ? quantity(value, 1, 's') : duration(value));

/** Rows of the table: what, how it is written, and whether a site has it. */
const ROWS = [
  ['pv', (l) => l.pvKWh, kWh],
  ['curtailed', (l) => l.curtailedKWh, kWh],
  ['import', (l) => l.importKWh, kWh, (site) => site.utility],
  ['export', (l) => l.exportKWh, kWh, (site) => site.utility],
  ['batteryIn', (l) => l.batteryInKWh, kWh],
  ['batteryOut', (l) => l.batteryOutKWh, kWh],
  ['stored', (l) => l.storedChangeKWh, kWh],
  ['served', (l) => l.criticalKWh + l.noncriticalKWh, kWh],
  ['unserved', (l) => l.unservedCriticalKWh + l.unservedNoncriticalKWh, kWh],
  ['panelDark', (l) => l.panelDarkS, seconds],
  ['mainDark', (l) => l.mainPanelDarkS, seconds, (site) => site.panels.includes('noncritical')],
  ['toIsland', (l) => l.toIsland, (value) => fixed(value, 0)],
  ['toUtility', (l) => l.toUtility, (value) => fixed(value, 0), (site) => site.utility],
  ['cost', (l) => l.cost, (value) => fixed(value, 3), (site) => site.utility],
];

export class SoFar {
  constructor(table) {
    this.table = table;
  }

  begin(sides) {
    this.table.replaceChildren();
    this.shown = undefined;
    const head = this.table.createTHead().insertRow();
    [say('soFar.what'), ...sides.map((side) => side.title), say('soFar.difference')].forEach((text) => {
      const cell = document.createElement('th');
      cell.scope = 'col';
      cell.textContent = text;
      head.append(cell);
    });
    const body = this.table.createTBody();
    const currency = sides.map((side) => side.store.description.site).find((site) => site.utility)?.currency ?? '';
    this.cells = ROWS.map(([name]) => {
      const row = body.insertRow();
      row.dataset.row = name;
      const title = document.createElement('th');
      title.scope = 'row';
      title.textContent = say(`soFar.${name}`, { currency });
      row.append(title);
      return [0, 1, 2].map(() => {
        const cell = row.insertCell();
        cell.textContent = NONE;
        return cell;
      });
    });
  }

  /** Books of the same instant only, so that the difference is one of the sites and not of the hour. */
  show(sides) {
    const ledgers = sides.map((side) => side.ledger);
    if (!ledgers[0] || ledgers[0].at !== ledgers[1]?.at || ledgers[0] === this.shown) {
      return;
    }
    [this.shown] = ledgers;
    const sites = sides.map((side) => side.store.description.site);
    ROWS.forEach(([, value, write, has = () => true], i) => {
      const values = ledgers.map((ledger, s) => (has(sites[s]) ? value(ledger) : NaN));
      values.forEach((one, s) => put(this.cells[i][s], Number.isFinite(one) ? write(one) : NONE));
      const apart = values[1] - values[0];
      const text = Number.isFinite(apart) ? write(Math.abs(apart)) : NONE;
      const nothing = text === write(0);
      put(this.cells[i][2], !Number.isFinite(apart) ? NONE : nothing ? say('soFar.same') : `${apart > 0 ? '+' : '\u2212'}${text}`);
    });
  }
}

/** What both have in common at present, each figure held against the other site's. */
export class Same {
  constructor(line) {
    this.line = line;
  }

  show(sides) {
    const [a, b] = sides.map((side) => ({ ledger: side.ledger, truth: side.store.truth, site: side.store.description.site }));
    if (!a.ledger || a.ledger.at !== b.ledger?.at || !a.truth || !b.truth) {
      return;
    }
    const parts = [
      ['sun', (one) => quantity(one.ledger.sunWPerM2, 0, 'W/m\u00b2')],
      ['loads', (one) => power(one.ledger.loadsWantW)],
      ['utility', utility],
      ['price', (one) => (one.site.utility ? say('same.prices', { import: fixed(one.truth.priceImport, 3), export: fixed(one.truth.priceExport, 3), currency: one.site.currency }) : '')],
    ].map(([name, write]) => ({ name, texts: [write(a), write(b)] }));
    const differ = parts.some(({ texts }) => texts[0] && texts[1] && texts[0] !== texts[1]);
    const text = [differ ? 'differ' : 'same', ...parts.flatMap(({ texts }) => texts)].join('|');
    if (this.shown === text) {
      return;
    }
    this.shown = text;
    const lead = document.createElement('b');
    lead.textContent = say(differ ? 'same.differs' : 'same.is');
    this.line.replaceChildren(lead);
    this.line.dataset.same = String(!differ);
    for (const { name, texts } of parts) {
      const part = document.createElement('span');
      const known = texts.filter(Boolean);
      if (known.length === 0) {
        continue;
      }
      const apart = known.length === 2 && texts[0] !== texts[1];
      part.className = apart ? 'differs' : '';
      part.textContent = say(`same.${name}`, { value: apart ? `A ${texts[0]}, B ${texts[1]}` : known[0] }) + (known.length === 1 ? say('same.only', { letter: texts[0] ? 'A' : 'B' }) : '');
      this.line.append(' ', part, ';');
    }
    this.line.lastChild.textContent = '.';
  }
}

/** The utility's own source, so that what a site does to its line does not show. */
function utility({ ledger, site }) {
  if (!site.utility) {
    return '';
  }
  return ledger.sourceVoltagePu > 0
    ? `${quantity(ledger.sourceVoltagePu * site.nominalVoltageV, 0, 'V')}, ${quantity(ledger.sourceFrequencyHz, 2, 'Hz')}`
    : say('same.gone');
}

function put(element, text) {
  if (element.textContent !== text) {
    element.textContent = text;
  }
}
