// The form as after.toml: the page writes it out, nothing is sent anywhere.
(() => {
  const form = document.getElementById("after-form");
  const written = document.getElementById("written");
  const save = document.getElementById("save");
  const quoted = (text) => JSON.stringify(text);
  let address = "";

  const lines = () => {
    const after = [];
    for (const field of form.querySelectorAll("[data-key]")) {
      if (field.type === "radio" && !field.checked) continue;
      if (field.value === "" || !field.checkValidity()) continue;
      after.push(`${field.dataset.key} = ${field.type === "text" ? quoted(field.value) : Number(field.value)}`);
    }
    const bites = [...document.querySelectorAll("[data-bite]:checked")];
    const at = (tick) => tick.dataset.km ? `\nat_km = ${tick.dataset.km}` : "";
    const tables = bites.map((tick) => `\n[[bite]]\nnumber = ${tick.dataset.bite}\nwas = "${tick.value}"${at(tick)}`);
    // what was said beyond the form is said again
    return ["[after]", ...after, form.dataset.kept, ...tables].join("\n") + "\n" + form.dataset.tables;
  };

  const write = () => {
    written.value = lines();
    if (address) URL.revokeObjectURL(address);
    address = URL.createObjectURL(new Blob([written.value], { type: "application/toml" }));
    save.href = address;
  };

  document.addEventListener("input", write);
  form.addEventListener("submit", (event) => event.preventDefault());
  write();
})();
