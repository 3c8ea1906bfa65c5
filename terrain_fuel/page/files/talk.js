// Asking the server, and changing things on it; what it refuses is thrown as the sentence it says.
async function answered(response) {
  const said = response.headers.get("content-type")?.includes("json") ? await response.json() : {};
  if (!response.ok) throw new Error(said.say || String(response.status));
  return said;
}

export async function ask(path) {
  return answered(await fetch(path));
}

export async function tell(path, value = {}) {
  const body = JSON.stringify(value);
  return answered(await fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body }));
}

export async function send(path, file) {
  const headers = { "Content-Type": "application/octet-stream" };
  return answered(await fetch(path, { method: "POST", headers, body: await file.arrayBuffer() }));
}
