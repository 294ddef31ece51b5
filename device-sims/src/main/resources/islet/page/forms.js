/* What forms are made of: labels, fields, buttons, and buttons that ask once more. */
import { plain, words } from './numbers.js';
import { say } from './texts.js';

const UNITS = [['s', 1], ['min', 60], ['h', 3_600]];

export function element(name, look, text = '') {
  const made = document.createElement(name);
  if (look) {
    made.className = look;
  }
  made.textContent = text;
  return made;
}

export function button(text, does, key = '') {
  const made = element('button', '');
  made.type = 'button';
  made.append(text);
  if (key) {
    made.append(' ');
    made.append(element('kbd', '', key === 'Space' ? say('key.space') : key));
    made.setAttribute('aria-keyshortcuts', key);
  }
  made.addEventListener('click', does);
  return made;
}

export function submit(text) {
  const made = element('button', '', text);
  made.type = 'submit';
  return made;
}

/** A button that asks once more in its own place; looking elsewhere takes the question back. */
export function grave(text, sure, does) {
  const made = element('button', '', text);
  made.type = 'button';
  const restore = () => {
    made.textContent = text;
    made.classList.remove('sure');
  };
  made.addEventListener('click', () => {
    if (made.classList.contains('sure')) {
      restore();
      does();
    } else {
      made.textContent = sure;
      made.classList.add('sure');
    }
  });
  made.addEventListener('blur', restore);
  made.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') {
      restore();
    }
  });
  return made;
}

let count = 0;

export function labelled(room, text, field, why) {
  field.id = `field-${++count}`;
  const label = element('label', '', text);
  label.htmlFor = field.id;
  room.append(label, field);
  if (why) {
    const line = element('span', 'why', why);
    line.id = `${field.id}-why`;
    field.setAttribute('aria-describedby', line.id);
    room.append(line);
  }
}

export function choice(text, options) {
  const row = element('div', 'row');
  const label = element('label', '', text);
  const field = document.createElement('select');
  field.id = `field-${++count}`;
  label.htmlFor = field.id;
  options.forEach(([value, name]) => field.append(new Option(name, value)));
  row.append(label, field);
  return { row, input: field };
}

/** A field as the description declares it: a number, a quantity with its unit, a duration, or a list of durations. */
export function input(room, field) {
  const box = element('span', 'row');
  const amount = document.createElement('input');
  const lasts = field.kind === 'duration';
  const list = field.kind === 'durations';
  if (list) {
    Object.assign(amount, { type: 'text', size: 18, required: field.required === true, value: field.usual ?? '' });
  } else {
    Object.assign(amount, { type: 'number', step: 'any', required: field.required === true });
  }
  let unit;
  const usual = amountOf(field);
  if (lasts) {
    unit = document.createElement('select');
    UNITS.forEach(([name, seconds]) => unit.append(new Option(name, String(seconds))));
    unit.setAttribute('aria-label', say('hands.unit'));
    amount.min = '0';
    if (Number.isFinite(usual)) {
      const [, size] = [...UNITS].reverse().find(([, seconds]) => usual >= seconds && usual % seconds === 0) ?? UNITS[0];
      unit.value = String(size);
      if (field.required) {
        amount.value = String(usual / size);
      }
    }
  } else if (!list) {
    amount.min = String(field.minimum);
    amount.max = String(field.maximum);
    if (field.required && Number.isFinite(usual)) {
      amount.value = String(usual);
    }
  }
  const bounds = lasts || list ? '' : say('hands.range', { from: plain(field.minimum), to: plain(field.maximum), unit: field.unit ?? '' });
  const why = [field.meaning, bounds].filter(Boolean).join('; ');
  labelled(room, field.title ?? words(field.name.replace(/([A-Z])/g, ' $1')), amount, why);
  amount.replaceWith(box);
  box.append(amount);
  if (unit) {
    box.append(unit);
  } else if (field.unit) {
    box.append(field.unit);
  }
  const seconds = () => Number(amount.value) * Number(unit.value);
  const value = () => {
    if (lasts) {
      return isoDuration(seconds());
    }
    if (list) {
      return amount.value.split(/[\s,]+/).filter(Boolean);
    }
    return written(field, Number(amount.value));
  };
  return { name: field.name, filled: () => amount.value !== '', seconds, value };
}

/** A field's usual value as a number, in seconds for a duration; NaN when there is none. */
export function amountOf(field) {
  const { usual } = field;
  if (typeof usual === 'number') {
    return usual;
  }
  if (!usual) {
    return NaN;
  }
  return field.kind === 'duration' ? secondsOf(usual) : parseFloat(usual);
}

function secondsOf(iso) {
  const parts = /^P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:([\d.]+)S)?)?$/.exec(iso) ?? [];
  return Number(parts[1] ?? 0) * 86_400 + Number(parts[2] ?? 0) * 3_600 + Number(parts[3] ?? 0) * 60 + Number(parts[4] ?? 0);
}

/** A quantity carries its unit on the wire, a plain number does not. */
export function written(field, value) {
  return field.kind === 'quantity' ? `${value} ${field.unit}` : value;
}

export function isoDuration(seconds) {
  return `PT${Math.round(seconds * 1000) / 1000}S`;
}
