/* What stands broken at a site, each with a button that ends it. */
import { button, element } from './forms.js';
import { words } from './numbers.js';
import { say } from './texts.js';

let count = 0;

export class Standing {
  /** @param end is given the number of a fault and its kind in words  @param next takes the focus when none is left */
  constructor(room, title, end, next) {
    this.end = end;
    this.next = next;
    this.shown = '';
    this.room = element('section', 'standing');
    this.room.hidden = true;
    const name = element('h3', '', title);
    name.id = `standing-${++count}`;
    this.room.setAttribute('aria-labelledby', name.id);
    this.list = element('ul', '');
    this.room.append(name, this.list);
    room.append(this.room);
  }

  /** As the bench tells them: `3 sensor-bias regulator bus.voltage_V`, with a comma between several. */
  show(store) {
    const text = store.state?.faults ?? '';
    if (text === this.shown) {
      return;
    }
    this.shown = text;
    const faults = text.split(', ').filter(Boolean).map((one) => one.split(' '));
    const held = this.list.contains(document.activeElement) ? document.activeElement.dataset.fault : undefined;
    this.list.replaceChildren(...faults.map((fault) => this.item(...fault)));
    this.room.hidden = faults.length === 0;
    // Who has just ended one goes on from the next.
    if (held !== undefined) {
      (this.list.querySelector(`[data-fault="${held}"]`) ?? this.list.querySelector('button') ?? this.next()).focus();
    }
  }

  item(number, kind, device, signal) {
    const item = element('li', '');
    const what = signal ? say('fault.signalIs', { fault: words(kind), device, signal }) : say('fault.is', { fault: words(kind), device });
    const end = button(say('fault.end'), () => this.end(Number(number), words(kind)));
    end.dataset.fault = number;
    end.setAttribute('aria-label', say('fault.endOf', { fault: what }));
    item.append(element('span', '', what), end);
    return item;
  }
}
