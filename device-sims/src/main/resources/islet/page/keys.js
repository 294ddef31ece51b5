/*
 * Keys for everything. Single letters work only outside fields, and can be switched off (WCAG 2.2, 2.1.4), which the
 * browser remembers.
 */
import { say } from './texts.js';

const REMEMBERED = 'islet.singleKeys';

export class Keys {
  constructor(dialog, rows, box) {
    this.dialog = dialog;
    this.box = box;
    this.map = new Map();
    this.rows = rows;
    box.checked = recall(REMEMBERED) !== 'off';
    box.addEventListener('change', () => remember(REMEMBERED, box.checked ? 'on' : 'off'));
    document.addEventListener('keydown', (event) => this.pressed(event));
    dialog.addEventListener('click', (event) => {
      if (event.target === dialog) {
        dialog.close();
      }
    });
  }

  /** @param {string} key as the browser names it  @param {string} meaning a text's key */
  on(key, meaning, does) {
    this.off(key);
    this.map.set(key, does);
    this.tell(key === ' ' ? say('key.space') : key, meaning).dataset.key = key;
  }

  /** Lists a key; what it does is somebody else's. */
  tell(name, meaning) {
    const row = this.rows.insertRow();
    const cell = row.insertCell();
    const kbd = document.createElement('kbd');
    kbd.textContent = name;
    cell.append(kbd);
    row.insertCell().textContent = say(meaning);
    return row;
  }

  /** Lets keys go that mean nothing here. */
  off(...keys) {
    for (const key of keys) {
      this.map.delete(key);
      [...this.rows.rows].find((row) => row.dataset.key === key)?.remove();
    }
  }

  show() {
    this.dialog.showModal();
  }

  pressed(event) {
    if (!this.box.checked || event.ctrlKey || event.altKey || event.metaKey || this.dialog.open || document.querySelector('dialog[open]')) {
      return;
    }
    const { target } = event;
    if (target.closest('input:not([type="range"], [type="checkbox"]), select, textarea')) {
      return;
    }
    if (event.key === ' ' && target.closest('button, summary, input, a')) {
      return;
    }
    const does = this.map.get(event.key.length === 1 ? event.key.toLowerCase() : event.key);
    if (does && !event.repeat) {
      event.preventDefault();
      does();
    }
  }
}

/** Private windows may refuse to remember; then nothing is. */
export function recall(name) {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}

export function remember(name, value) {
  try {
    localStorage.setItem(name, value);
  } catch {
    // It is only a comfort.
  }
}
