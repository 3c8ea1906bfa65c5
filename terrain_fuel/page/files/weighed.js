// Something weighed: grams times what a food table says of a hundred of them.
import { amountIn, numberInput, numberText } from "./numbers.js";
import { button, fresh, part, say } from "./parts.js";
import { change } from "./ride.js";

let foods = [];
export function setFoods(given) {
  foods = given;
}

// Letters that a short name may have.
const LONGEST_SHORT = 14;

const tenth = (value) => Math.round(10 * value) / 10;

// Who asks where a value comes from is told by the tables' names, and what stands in which.
function sources() {
  const tables = [...new Set(foods.map((food) => food.source))];
  const line = (table) => part("li", {}, `${say(`foodTable.${table}`)}: ${foods.filter((food) => food.source === table).map((food) => food.said).join("; ")}`);
  return part("details", { class: "more quiet" }, part("summary", {}, say("foodSources")), part("ul", {}, ...tables.map(line)));
}

// What has all of what is sought in its name, else as much of its beginning as finds something: "Datteln", "bananas".
const LEAST_LETTERS = 3;
function foundBy(sought) {
  const named = (letters) => foods.filter((food) => food.said.toLocaleLowerCase().includes(letters));
  let [letters, found] = [sought, named(sought)];
  while (!found.length && letters.length > LEAST_LETTERS) {
    letters = letters.slice(0, -1);
    found = named(letters);
  }
  return found;
}

export function weighed() {
  const [searchId, gramsId] = [fresh("food"), fresh("grams")];
  const search = part("input", { id: searchId, type: "search", autocomplete: "off" });
  const grams = numberInput({ id: gramsId, value: 40 });
  const list = part("ul", { class: "items" });
  const wrong = part("p", { class: "wrong", role: "alert", hidden: true });
  const put = async (food) => {
    const mass_g = amountIn(grams, "g");
    const share = mass_g / 100;
    const values = {
      name: `${food.said.split(" (")[0]} ${numberText(mass_g)} g`,
      short: food.said.split(/,| \(/)[0].slice(0, LONGEST_SHORT),
      kind: food.kind,
      carbohydrate_g: tenth(share * food.carbohydrate_g),
      mass_g,
      source: food.source,
      count: 1,
    };
    if (food.sodium_mg !== null) values.sodium_mg = Math.round(share * food.sodium_mg);
    try {
      await change([{ do: "add", file: "pantry", table: "item", values }]);
      wrong.hidden = true;
    } catch (fault) {
      wrong.textContent = fault.message;
      wrong.hidden = false;
    }
  };
  const fill = () => {
    const sought = search.value.trim().toLocaleLowerCase();
    const found = foundBy(sought);
    const share = amountIn(grams, "g") / 100;
    const holds = (food) => {
      const grams = say("foodHolds", { grams: numberText(tenth(share * food.carbohydrate_g)) });
      return part("small", { class: "quiet" }, food.sodium_mg === null ? ` ${grams} · ${say("sodiumUnknown")}` : ` ${grams}`);
    };
    const line = (food) =>
      part("li", {}, part("span", {}, food.said, holds(food)), button(say("putIn"), () => put(food), { "aria-label": `${say("putIn")}: ${food.said}` }));
    list.replaceChildren(...found.map(line));
    if (!found.length) list.append(part("li", { class: "quiet" }, say("noFood.found")));
  };
  search.addEventListener("input", fill);
  grams.addEventListener("input", fill);
  fill();
  return part(
    "details",
    { class: "more" },
    part("summary", {}, say("weighed")),
    part("div", { class: "field" }, part("label", { for: gramsId }, say("grams")), part("span", { class: "entry" }, grams, part("span", { class: "unit" }, "g"))),
    part("div", { class: "field" }, part("label", { for: searchId }, say("searchFoods")), search),
    list,
    wrong,
    sources(),
  );
}
