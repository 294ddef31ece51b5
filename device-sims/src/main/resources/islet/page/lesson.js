/*
 * A lesson in four steps: predict, do, see, explain. What is to be seen ticks itself off when the site shows it, so that a
 * class sees that it has happened and not only that it was told.
 */
import { element } from './forms.js';
import { say } from './texts.js';
import { lessons } from './texts.en.js';

/** What a lesson can wait for, by name; each is told the store, the view and the bound. */
const SEEN = {
  mode: (store, view, wanted) => store.mode === wanted,
  curtailedW: (store, view, bound) => (store.truth?.pvAvailableW ?? 0) - (store.told('regulator')?.pvPowerW ?? NaN) > bound,
  arrayW: (store, view, bound) => store.told('regulator')?.pvPowerW > bound,
  importW: (store, view, bound) => view.flows.pcc.watts > bound,
  exportW: (store, view, bound) => view.flows.pcc.watts < -bound,
  lossW: (store, view, bound) => store.told('meter') && view.flows['charger.ac'].watts - store.told('meter').criticalPowerW > bound,
  batteryA: (store, view, bound) => store.told('meter')?.batteryCurrentA > bound,
  chargerStops: (store) => store.told('charger')?.stage === 'FLOAT' && store.told('supervisor')?.soc < 0.9,
  discharges: (store, view) => view.flows.battery.sign < 0,
  utilityDead: (store, view, wanted) => (view.zones.pcc === 'dead') === wanted,
  panelLives: (store, view, wanted) => ['by-utility', 'by-inverter'].includes(view.zones.panel) === wanted,
  shed: (store) => (store.told('meter')?.shedCircuits ?? '') !== '',
  socBelow: (store, view, bound) => store.told('supervisor')?.soc < bound,
  socAbove: (store, view, bound) => store.told('supervisor')?.soc > bound,
};

export class Lesson {
  constructor(room, hands) {
    this.room = room;
    this.hands = hands;
    this.name = '';
  }

  get open() {
    return this.name !== '';
  }

  begin(description, name) {
    this.name = name;
    this.lesson = lessons[name];
    this.seen = new Set();
    this.run = description.run;
    this.title = description.lessons?.find((one) => one.name === name)?.title ?? name;
    this.build();
  }

  close() {
    this.name = '';
    this.room.hidden = true;
    this.room.replaceChildren();
  }

  build() {
    const { room, lesson } = this;
    room.hidden = false;
    const head = element('div', 'lesson-head');
    const title = element('h2', '', say('lesson.title', { title: this.title }));
    title.id = 'lesson-name';
    const close = element('button', '', say('lesson.close'));
    close.type = 'button';
    close.addEventListener('click', () => this.close());
    head.append(title, close);
    const steps = element('ol', 'lesson-steps');
    room.replaceChildren(head, steps);
    const [predict, act, see, explain] = ['predict', 'do', 'see', 'explain'].map((key) => {
      const step = element('li', 'lesson-step');
      step.append(element('h3', '', say(`lesson.${key}`)));
      steps.append(step);
      return step;
    });
    this.predict(predict, lesson);
    lesson.do.forEach((one) => act.append(this.action(one)));
    this.marks = lesson.see.map((one) => {
      const line = element('p', 'lesson-see');
      const mark = element('b', '', '\u25a1');
      line.append(mark, ` ${one.text}`);
      see.append(line);
      return { line, mark, text: one.text };
    });
    this.explanation = element('p', '', say('lesson.wait'));
    this.early = element('button', '', say('lesson.explainNow'));
    this.early.type = 'button';
    this.early.addEventListener('click', () => this.explain());
    explain.append(this.explanation, this.early);
  }

  predict(step, lesson) {
    const set = document.createElement('fieldset');
    set.append(element('legend', '', lesson.question));
    this.choices = lesson.choices.map((text, i) => {
      const label = element('label', 'choice');
      const radio = document.createElement('input');
      Object.assign(radio, { type: 'radio', name: 'guess', value: String(i) });
      label.append(radio, ` ${text}`);
      set.append(label);
      return { label, radio };
    });
    step.append(set);
  }

  action(one) {
    const button = element('button', '', one.text);
    button.type = 'button';
    button.addEventListener('click', () => {
      if (one.load) {
        this.hands.benchOrder('LOAD', { text: one.load }, one.text);
      } else if (one.speed) {
        this.hands.setSpeed(one.speed);
      } else if (one.event) {
        this.hands.eventByName(one.event);
      }
    });
    return button;
  }

  /** Another run has begun: what the one before it showed is not what was asked for. */
  forget() {
    this.seen.clear();
    this.marks.forEach(({ line, mark, text }) => {
      mark.textContent = '\u25a1';
      line.replaceChildren(mark, ` ${text}`);
      line.classList.remove('done');
    });
  }

  show(store, view) {
    if (this.open && store.description.run !== this.run) {
      this.run = store.description.run;
      this.forget();
    }
    if (!this.open || this.seen.size === this.lesson.see.length) {
      return;
    }
    this.lesson.see.forEach((one, i) => {
      const holds = !this.seen.has(i) && (one.after === undefined || this.seen.has(one.after)) && Object.entries(one.when).every(([name, bound]) => SEEN[name](store, view, bound));
      if (holds) {
        this.seen.add(i);
        this.marks[i].mark.textContent = '\u2713';
        this.marks[i].line.append(` (${store.clock.time(store.now())})`);
        this.marks[i].line.classList.add('done');
      }
    });
    if (this.seen.size === this.lesson.see.length) {
      this.explain();
    }
  }

  explain() {
    this.explanation.textContent = this.lesson.explain;
    this.early.remove();
    this.choices.forEach(({ label, radio }, i) => {
      if (i === this.lesson.right) {
        label.classList.add('right');
        label.append(` ${say('lesson.right')}`);
      } else if (radio.checked) {
        label.append(` ${say('lesson.wrong')}`);
      }
    });
  }
}

export const knows = (name) => name in lessons;
