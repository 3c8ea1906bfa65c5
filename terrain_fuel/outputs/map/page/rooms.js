// On a small screen one room is shown at a time; the strip first.
const roomButtons = [...document.querySelectorAll("#rooms button")];
function showRoom(name) {
  document.body.dataset.room = name;
  for (const button of roomButtons) button.setAttribute("aria-pressed", String(button.dataset.room === name));
}
// With large text on a small screen the page itself scrolls: the room that was chosen comes into sight.
function comeToRoom(name) {
  showRoom(name);
  if (getComputedStyle(document.querySelector("main")).display === "block") document.getElementById(name).scrollIntoView();
}
for (const button of roomButtons) button.addEventListener("click", () => comeToRoom(button.dataset.room));
showRoom("strip");
