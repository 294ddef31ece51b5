/* Says a text of the page's language, with what is to be filled in. */
import texts from './texts.en.js';

export function say(key, values = {}) {
  const text = texts[key];
  if (text === undefined) {
    return key;
  }
  return text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}

export const has = (key) => key in texts;
