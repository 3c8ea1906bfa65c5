// Asking the server, and changing things on it; what it refuses is thrown as the sentence it says.
import { say } from "./parts.js";

async function answered(response) {
  const said = response.headers.get("content-type")?.includes("json") ? await response.json() : {};
  if (!response.ok) throw new Error(said.say || String(response.status));
  return said;
}

async function asked(path, how) {
  let response;
  try {
    response = await fetch(path, how);
  } catch {
    throw new Error(say("ended")); // what the browser says of it is no help
  }
  return answered(response);
}

export async function ask(path) {
  return asked(path);
}

export async function tell(path, value = {}) {
  const body = JSON.stringify(value);
  return asked(path, { method: "POST", headers: { "Content-Type": "application/json" }, body });
}

export async function send(path, file) {
  const headers = { "Content-Type": "application/octet-stream" };
  return asked(path, { method: "POST", headers, body: await file.arrayBuffer() });
}
