/* Light or dark: the system's choice until the button says otherwise, which the browser remembers. */
import { recall, remember } from './keys.js';
import { say } from './texts.js';

const LOOK = 'islet.look';

export class Look {
  /** @param {Function} changed called when the page looks otherwise */
  constructor(button, changed = () => {}) {
    this.button = button;
    this.changed = changed;
    button.addEventListener('click', () => this.change());
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => {
      this.show();
      changed();
    });
    this.show();
  }

  show() {
    const chosen = recall(LOOK);
    if (chosen) {
      document.documentElement.dataset.look = chosen;
    }
    const dark = (document.documentElement.dataset.look ?? (matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light')) === 'dark';
    this.button.textContent = say(dark ? 'look.light' : 'look.dark');
    this.button.setAttribute('aria-pressed', String(dark));
    return dark;
  }

  change() {
    const next = this.show() ? 'light' : 'dark';
    document.documentElement.dataset.look = next;
    remember(LOOK, next);
    this.show();
    this.changed();
  }
}
