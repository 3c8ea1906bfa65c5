// The page's door for scripts around it: another ride's data is shown without a reload.
window.ridePage = { show: showRide, tell: tellRide, choose, onChoose, onShow, numberOf, showRoom };

const given = document.getElementById("ride");
if (given) showRide(JSON.parse(given.textContent));
