// On a small screen one room is shown at a time; the strip first.
const roomButtons = [...document.querySelectorAll("#rooms button")];
function showRoom(name) {
  document.body.dataset.room = name;
  for (const button of roomButtons) button.setAttribute("aria-pressed", String(button.dataset.room === name));
}
for (const button of roomButtons) button.addEventListener("click", () => showRoom(button.dataset.room));
showRoom("strip");
