/*
 * Hands on two sites beside each other. The run, the utility, the sky and the loads are common to both, and the bench lets
 * what befalls them befall both at the same instant. A fault is of both, where both have the part, or of one; an
 * operator's order is of one, since each has a supervisor of its own.
 */
import { Hands } from './hands.js';
import { Standing } from './standing.js';
import { say } from './texts.js';

/** The orders to one site's supervisor, answered in the common list. */
export class SideHands extends Hands {
  constructor(room, side, common) {
    super(room, undefined, side.store, side.commands);
    this.side = side;
    this.common = common;
  }

  begin(description) {
    this.description = description;
    this.orderForms(this.room);
    if (description.site.changeover) {
      this.handOnSwitch(this.room);
    }
  }

  ask(asked, sent) {
    return this.common.ask(`${this.side.letter}: ${asked}`, sent);
  }
}

export class BesideHands extends Hands {
  constructor(room, answers, sides) {
    super(room, answers, sides[0].store, sides[0].commands);
    this.sides = sides;
  }

  begin(description) {
    const [first, second] = description.sites;
    this.description = first;
    this.room.replaceChildren();
    this.pause = undefined;
    this.run();
    this.standings = this.sides.map((side) =>
      new Standing(this.room, say('beside.standing', { site: side.title }), (...fault) => this.endFaultAt(side, ...fault), () => this.pause),
    );
    // A site without a utility lists none of its events; the other one's are all there are.
    const events = first.events.length >= second.events.length ? first.events : second.events;
    this.description = { ...first, events };
    this.group('beside.surroundings', true, (room) => this.eventForms(room, events));
    this.sides.forEach((side, i) => {
      const group = this.details(say('beside.orders', { site: side.title }));
      side.hands = new SideHands(group, side, this);
      side.hands.begin(description.sites[i]);
    });
    this.group('hands.faults', false, (room) => this.faultsOf(room, description.sites));
    if (first.scenarios?.length > 0) {
      this.group('hands.load', false, (room) => this.loadForm(room));
    }
  }

  show() {
    super.show();
    this.standings?.forEach((standing, i) => standing.show(this.sides[i].store));
  }

  /** Each site's bench numbers its own faults. */
  endFaultAt(side, number, kind) {
    return this.ask(`${side.letter}: ${say('fault.endOf', { fault: kind })}`, side.commands.bench('END', { number }));
  }

  details(title) {
    const made = document.createElement('details');
    const summary = document.createElement('summary');
    summary.textContent = title;
    made.append(summary);
    this.room.append(made);
    return made;
  }

  faultsOf(room, descriptions) {
    const row = document.createElement('div');
    row.className = 'row';
    const label = document.createElement('label');
    label.htmlFor = 'fault-side';
    label.textContent = say('beside.faultAt');
    const select = document.createElement('select');
    select.id = 'fault-side';
    select.append(new Option(say('beside.atBoth'), 'both'));
    this.sides.forEach((side) => select.append(new Option(side.title, side.letter)));
    row.append(label, select);
    const why = document.createElement('p');
    why.className = 'effect';
    why.textContent = say('beside.faultWords');
    const form = document.createElement('div');
    room.append(row, why, form);
    const offered = { both: shared(descriptions) };
    this.sides.forEach((side, i) => {
      offered[side.letter] = descriptions[i].faults;
    });
    const refill = () => {
      this.faultAt = select.value;
      const whole = this.description;
      this.description = { ...whole, faults: offered[select.value] };
      form.replaceChildren();
      this.faultForm(form);
      this.description = whole;
    };
    select.addEventListener('change', refill);
    refill();
  }

  /** Sends a fault to where it shall bite; all else is common, whichever bench is asked. */
  benchOrder(order, fields, asked) {
    const isFault = order === 'EVENT' && 'fault' in JSON.parse(fields.text);
    if (!isFault) {
      return super.benchOrder(order, fields, asked);
    }
    if (this.faultAt === 'both') {
      return super.benchOrder(order, { text: JSON.stringify({ both: JSON.parse(fields.text) }) }, `${say('beside.atBoth')}: ${asked}`);
    }
    const side = this.sides.find((one) => one.letter === this.faultAt);
    return this.ask(`${side.letter}: ${asked}`, side.commands.bench(order, fields));
  }
}

/** The faults of parts that both sites have. */
function shared([first, second]) {
  return first.faults.flatMap((fault) => {
    const other = second.faults.find((one) => one.kind === fault.kind);
    const targets = fault.targets.filter((target) => other?.targets.some((one) => one.device === target.device));
    return targets.length > 0 ? [{ ...fault, targets }] : [];
  });
}
