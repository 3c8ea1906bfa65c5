// Elements made in one line, and words with their values filled in.
let words = {};

export function setWords(given) {
  words = given;
}

export function say(key, values = {}) {
  return (words[key] ?? key).replace(/\{(\w+)\}/g, (_, name) => values[name] ?? "");
}

// What an item is called: as the rider named it, but water, which nobody named.
export function called(item) {
  return item === "water" ? say("word.water") : item;
}

export function part(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key === "class") element.className = value;
    else if (typeof value === "boolean") element.toggleAttribute(key, value);
    else if (value !== undefined && value !== null) element.setAttribute(key, value);
  }
  element.append(...children.filter((child) => child !== undefined && child !== null));
  return element;
}

export function button(text, press, attributes = {}) {
  return part("button", { type: "button", onclick: press, ...attributes }, text);
}

let count = 0;
export function fresh(name) {
  count += 1;
  return `${name}-${count}`;
}
