// What a rider has begun outlives a redraw: ticks, typed values, opened details, and the field in use.
const USED = "input:not([type=file]), select, details, button, a";

// What is in a room, by what it is called and what it is folded into; of several alike by their order.
function calledIn(room) {
  const counts = new Map();
  const pathOf = (element) => {
    const around = element.parentElement.closest("details");
    return `${around && room.contains(around) ? pathOf(around) : ""} > ${nameOf(element)}`;
  };
  return new Map(
    [...room.querySelectorAll(USED)].map((element) => {
      const path = pathOf(element);
      counts.set(path, (counts.get(path) ?? 0) + 1);
      return [`${path} ${counts.get(path)}`, element];
    }),
  );
}

function nameOf(element) {
  const { name, type, value, tagName, labels, dataset } = element;
  if (tagName === "DETAILS") return element.querySelector("summary").firstChild.textContent;
  const said = name || dataset.setting || element.getAttribute("aria-label") || labels?.[0]?.textContent || element.textContent;
  return `${tagName} ${said} ${type === "radio" ? value : ""}`;
}

const isTick = (element) => element.matches("[type=radio], [type=checkbox]");

// A setting is sent as it is typed: of those only the one in use may differ from what holds.
function isBegun(element) {
  if (element.dataset.setting) return element === document.activeElement;
  if (isTick(element)) return element.checked !== element.defaultChecked;
  if (element.tagName === "SELECT") return element.selectedOptions[0] !== (element.querySelector("[selected]") ?? element.options[0]);
  return element.tagName === "INPUT" && element.value !== element.defaultValue;
}

function putBack(element, { checked, value }) {
  if (isTick(element)) element.checked = checked;
  else if (element.tagName !== "SELECT" || [...element.options].some((option) => option.value === value)) element.value = value;
  if (!element.dataset.setting) element.dispatchEvent(new Event("input"));
}

export function redraw(room, ...children) {
  const before = [...calledIn(room)];
  const opened = before.filter(([, element]) => element.open);
  const begun = before.filter(([, element]) => isBegun(element));
  const [used, field] = before.find(([, element]) => element === document.activeElement) ?? [];
  const cursor = field?.selectionStart ?? null;
  room.replaceChildren(...children);
  for (const [name] of opened) {
    const details = calledIn(room).get(name);
    if (!details) continue;
    details.open = true;
    details.dispatchEvent(new Event("toggle")); // what is folded in is made when it is opened
  }
  const after = calledIn(room);
  for (const [name, element] of begun) if (after.has(name)) putBack(after.get(name), element);
  after.get(used)?.focus({ preventScroll: true });
  if (cursor !== null) after.get(used)?.setSelectionRange(cursor, field.selectionEnd);
}
